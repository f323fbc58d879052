import { cylinderOnBench } from '../cylinder-on-bench.js';
import { laminarLeak } from '../hydraulics/leak-law.js';
import {
  bars,
  celsius,
  type DemoHold,
  type DemoScenario,
  demoCylinder,
  inch,
  inchInstrument,
  millilitrePerMinute,
  proofScript,
  psiPerMinute,
  psis,
} from './demo-scenario.js';

const customer = 'Copperline Press Works Inc.';
const customerAddress = '118 Foundry Road, Eastbrook, OH';
const lineM3 = 0.3e-3;

/** Proof at 4500 psi: settled below 60 psi/min, three minutes, at most 0.25 mL/min lost. */
const proof: DemoHold = {
  targetPa: psis(4500),
  rampMaxPaPerS: bars(10),
  stabilise: { ratePaPerS: 60 * psiPerMinute, forS: 30, giveUpAfterS: 600 },
  dwellS: 180,
  allowed: { kind: 'leak', leakM3PerS: 0.25 * millilitrePerMinute },
};

const clampMeasures = { boreM: 4 * inch, rodM: 2.5 * inch, strokeM: 20 * inch, barrelOutsideM: 5 * inch };
const clampOnBench = { ...clampMeasures, lineM3 };

/** Oil from a warm tank in a cold cylinder: the whole of it goes on cooling through the dwell. */
const coolingOil = { oilStartK: celsius(23), wallStartK: celsius(22.5), ambientK: celsius(15), wallToAmbientS: 5400 };

/** A gland O-ring that leaks slowly, while the oil cools: only the fit with the oil's temperature tells them apart. */
export const glandLeak: DemoScenario = {
  id: 'gland',
  title: 'Press clamp cylinder with a slow gland leak, oil cooling',
  inspected: false,
  customer,
  customerAddress,
  workOrder: 'CP-0419',
  units: 'psi',
  cylinder: demoCylinder({
    ...clampMeasures,
    serial: 'CPW-77-014',
    maker: 'Midland Fluid Works',
    model: 'MF 4x2.5x20',
    ratedPa: psis(3000),
  }),
  lineM3,
  ports: {
    A: cylinderOnBench('A', clampOnBench, proofScript(proof, { topUpAtS: [20], holdS: 300 }), { heat: coolingOil }),
    B: cylinderOnBench('B', clampOnBench, proofScript(proof, { topUpAtS: [20], holdS: 425 }), {
      heat: coolingOil,
      leaks: { external: laminarLeak(0.55 * millilitrePerMinute, psis(4500)) },
    }),
  },
  instrument: inchInstrument,
  ratePerS: 10,
  hold: proof,
  truth: {
    verdict: { A: 'pass', B: 'fail' },
    why: 'Both chambers fall as the oil cools; on B the gland loses 0.55 mL/min besides, twice what is allowed.',
  },
};

/** Proof at 1500 psi: settled below 6 psi/min, three minutes, at most 2 % lost. */
const lowProof: DemoHold = {
  targetPa: psis(1500),
  rampMaxPaPerS: bars(10),
  stabilise: { ratePaPerS: 6 * psiPerMinute, forS: 30, giveUpAfterS: 600 },
  dwellS: 180,
  allowed: { kind: 'percent', fraction: 0.02 },
};

const liftMeasures = { boreM: 6 * inch, rodM: 3 * inch, strokeM: 24 * inch, barrelOutsideM: 7 * inch };

/** A cylinder that was not purged: air goes into solution and new seals yield, and every top-up begins it again. */
export const trappedAir: DemoScenario = {
  id: 'air',
  title: 'Lift table cylinder, not purged, with new seals',
  inspected: true,
  customer,
  customerAddress,
  workOrder: 'CP-0420',
  units: 'psi',
  cylinder: demoCylinder({
    ...liftMeasures,
    serial: 'CPW-12-203',
    maker: 'Midland Fluid Works',
    model: 'MF 6x3x24',
    ratedPa: psis(1000),
  }),
  lineM3,
  ports: {
    A: cylinderOnBench('A', { ...liftMeasures, lineM3 }, proofScript(lowProof, { holdS: 640, topUpAtS: [20] }), {
      oil: { airFraction: 0.08, airDissolvesS: 900 },
      creep: [
        { m3PerPa: 6e-13, timeS: 90 },
        { m3PerPa: 2.8e-12, timeS: 900 },
      ],
    }),
  },
  instrument: {
    ...inchInstrument,
    pressure: { ...inchInstrument.pressure, rangeHighPa: psis(5000) },
    serial: 'HF-10391',
  },
  ratePerS: 10,
  hold: lowProof,
  truth: {
    verdict: { A: 'inconclusive' },
    why: 'Eight per cent of free air is still going into solution: what falls can not be told from a leak.',
  },
};
