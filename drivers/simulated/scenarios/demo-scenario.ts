import type { Cylinder } from '../../../src/hydraulics/index.js';
import type { OperatorScript } from '../operator.js';
import type { SimulatedBench } from '../simulated-bench.js';
import type { SimulatedInstrument } from '../simulated-gauge.js';

/** A cylinder of the invented shop, the bench as it stands for it, and what the truth demands of its test. */
export interface DemoScenario {
  readonly id: string;
  readonly title: string;
  /** Whether the demo's technician looked at every leak point in each dwell, with no oil to be seen. */
  readonly inspected: boolean;
  readonly customer: string;
  readonly customerAddress: string;
  readonly workOrder: string;
  /** The units in which the job is written and read. */
  readonly units: 'bar' | 'psi';
  readonly cylinder: Cylinder & { readonly serial: string; readonly maker: string; readonly model: string };
  /** Volume of hose and fittings, m3, as the job states it. */
  readonly lineM3: number;
  readonly ports: { readonly A?: SimulatedBench; readonly B?: SimulatedBench };
  readonly instrument: SimulatedInstrument;
  readonly ratePerS: number;
  readonly hold: DemoHold;
  readonly truth: DemoTruth;
}

/** The one stage that each demo job asks for: a proof at 1.5 x rated. */
export interface DemoHold {
  readonly targetPa: number;
  readonly rampMaxPaPerS: number;
  readonly stabilise: { readonly ratePaPerS: number; readonly forS: number; readonly giveUpAfterS: number };
  readonly dwellS: number;
  readonly allowed:
    | { readonly kind: 'percent'; readonly fraction: number }
    | { readonly kind: 'leak'; readonly leakM3PerS: number };
}

export type TrueVerdict = 'pass' | 'fail' | 'inconclusive' | 'invalid';

export interface DemoTruth {
  readonly verdict: { readonly A?: TrueVerdict; readonly B?: TrueVerdict };
  /** Why, in words for the demo's own text. */
  readonly why: string;
}

/** The invented shop. */
export const demoShop = 'Harrow Fell Hydraulics';

const bar = 1e5;
const psi = 6894.757293168361;
export const inch = 0.0254;
export const millilitrePerMinute = 1e-6 / 60;
export const barPerMinute = bar / 60;
export const psiPerMinute = psi / 60;
export const celsius = (degrees: number): number => degrees + 273.15;
export const bars = (value: number): number => value * bar;
export const psis = (value: number): number => value * psi;

/**
 * Pump to two thirds, change over, booster to a little above, topped up while the heat leaves, then hands off.
 * @param work.holdS long enough for this cylinder to settle and for its dwell, and little longer
 */
export function proofScript(
  hold: DemoHold,
  work: { readonly topUpAtS: readonly number[]; readonly holdS: number },
): OperatorScript {
  const { targetPa } = hold;
  return {
    stages: [
      {
        targetPa,
        overshoot: 0.03,
        pumpToPa: (2 / 3) * targetPa,
        pauseS: 15,
        holdS: work.holdS,
        topUpAtS: work.topUpAtS,
      },
    ],
    ventedS: 10,
    bleedS: 60,
    boosterRampPaPerS: bars(3.5),
  };
}

/** A 400 bar transmitter with 0.1 bar steps, and a probe in the oil. */
export const metricInstrument: SimulatedInstrument = {
  pressure: {
    unit: 'bar',
    resolution: 0.1,
    rangeLowPa: bars(-1),
    rangeHighPa: bars(400),
    lagS: 0.05,
    whitePa: 4_000,
    offsetPa: 6_000,
  },
  oil: { lagS: 4, noiseK: 0.01, resolutionK: 0.01 },
  serial: 'HF-40117',
};

/** A 10 000 psi transmitter with 1 psi steps, and a probe in the oil. */
export const inchInstrument: SimulatedInstrument = {
  pressure: {
    unit: 'psi',
    resolution: 1,
    rangeLowPa: psis(-15),
    rangeHighPa: psis(10_000),
    lagS: 0.05,
    whitePa: psis(0.8),
    offsetPa: psis(-1),
  },
  oil: { lagS: 4, noiseK: 0.01, resolutionK: 0.01 },
  serial: 'HF-10226',
};

/** Serial, maker and model beside the measures of a double-acting cylinder. */
export function demoCylinder(of: {
  readonly serial: string;
  readonly maker: string;
  readonly model: string;
  readonly boreM: number;
  readonly rodM: number;
  readonly strokeM: number;
  readonly barrelOutsideM: number;
  readonly ratedPa: number;
}): DemoScenario['cylinder'] {
  const { ratedPa, ...rest } = of;
  return { kind: 'double-acting', ...rest, ratedPressurePa: ratedPa as Cylinder['ratedPressurePa'] };
}
