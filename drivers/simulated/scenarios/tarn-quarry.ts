import { cylinderOnBench } from '../cylinder-on-bench.js';
import { laminarLeak } from '../hydraulics/leak-law.js';
import {
  barPerMinute,
  bars,
  type DemoHold,
  type DemoScenario,
  demoCylinder,
  metricInstrument,
  millilitrePerMinute,
  proofScript,
} from './demo-scenario.js';

const customer = 'Tarn Quarry Plant';
const customerAddress = 'Tarn Lane, Upper Harrow';
const lineM3 = 0.3e-3;

/** Proof at 240 bar: settled below 3 bar/min, three minutes, at most 2 % lost. */
const proof: DemoHold = {
  targetPa: bars(240),
  rampMaxPaPerS: bars(10),
  stabilise: { ratePaPerS: 3 * barPerMinute, forS: 30, giveUpAfterS: 600 },
  dwellS: 180,
  allowed: { kind: 'percent', fraction: 0.02 },
};

const measures = { boreM: 0.1, rodM: 0.056, strokeM: 0.5, barrelOutsideM: 0.12 };
const onBench = { ...measures, lineM3 };
const cylinder = (serial: string): DemoScenario['cylinder'] =>
  demoCylinder({ ...measures, serial, maker: 'Calder Rams', model: 'CR 100/56-500', ratedPa: bars(160) });

/** A sound cylinder: the pressure falls only while the heat of pumping leaves. */
export const tight: DemoScenario = {
  id: 'tight',
  title: 'Tight excavator boom cylinder',
  inspected: true,
  customer,
  customerAddress,
  workOrder: 'WO-2207',
  units: 'bar',
  cylinder: cylinder('TQ-3381'),
  lineM3,
  ports: {
    A: cylinderOnBench('A', onBench, proofScript(proof, { topUpAtS: [20], holdS: 315 }), {
      leaks: { pistonSeal: laminarLeak(0.004 * millilitrePerMinute, bars(240)) },
    }),
    B: cylinderOnBench('B', onBench, proofScript(proof, { topUpAtS: [20], holdS: 315 }), {
      leaks: { external: laminarLeak(0.002 * millilitrePerMinute, bars(240)) },
    }),
  },
  instrument: metricInstrument,
  ratePerS: 10,
  hold: proof,
  truth: { verdict: { A: 'pass', B: 'pass' }, why: 'Both chambers hold; what falls is heat leaving the oil.' },
};

/** The piston seal's lip towards A is cut: 0.8 mL/min passes to the open port B; from B the other lip holds. */
export const pistonSealLeak: DemoScenario = {
  id: 'piston-seal',
  title: 'Dipper cylinder with a cut piston seal',
  inspected: true,
  customer,
  customerAddress,
  workOrder: 'WO-2208',
  units: 'bar',
  cylinder: cylinder('TQ-3394'),
  lineM3,
  ports: {
    A: cylinderOnBench('A', onBench, proofScript(proof, { topUpAtS: [20], holdS: 455 }), {
      leaks: { pistonSeal: laminarLeak(0.8 * millilitrePerMinute, bars(240)) },
    }),
    B: cylinderOnBench('B', onBench, proofScript(proof, { topUpAtS: [20], holdS: 315 })),
  },
  instrument: metricInstrument,
  ratePerS: 10,
  hold: proof,
  truth: {
    verdict: { A: 'fail', B: 'pass' },
    why: 'Oil passes the piston from A to B at 0.8 mL/min; the fall is more than 2 % of the test pressure.',
  },
};

/** The trap: the cylinder's valve is shut, so the gauge sees a line full of oil and a pressure that never moves. */
export const shutValve: DemoScenario = {
  id: 'shut-valve',
  title: 'Stick cylinder behind a shut valve',
  inspected: true,
  customer,
  customerAddress,
  workOrder: 'WO-2209',
  units: 'bar',
  cylinder: cylinder('TQ-3402'),
  lineM3,
  ports: {
    A: cylinderOnBench('A', onBench, proofScript(proof, { topUpAtS: [], holdS: 240 }), {
      connected: 'valve shut',
      heat: { oilToWallS: 15 },
      leaks: { pistonSeal: laminarLeak(5 * millilitrePerMinute, bars(240)) },
    }),
  },
  instrument: metricInstrument,
  ratePerS: 10,
  hold: proof,
  truth: {
    verdict: { A: 'invalid' },
    why: 'The trace is perfect because the cylinder is not on the gauge: a few millilitres filled the line, where the cylinder needs seventy.',
  },
};
