import type { DiagnosisShape } from '../../src/evaluation/result.js';
import { evaluate } from './ensembles.js';
import { dropLimit, type HoldChoices, holdContext } from './holds.js';
import { type Chance, chance, correlatedNoiseSource, type DwellRecipe, simulatedDwell } from './trace-generator.js';

/** A true shape, made with a signal of so many pascals. */
interface ShapeTrial {
  readonly shape: DiagnosisShape;
  /** The least signal over noise that makes this shape at all; steps smaller than the noise are none. */
  readonly atLeast?: number;
  make(source: Chance, signalPa: number): { recipe: Partial<DwellRecipe>; choices: HoldChoices };
}

const noisePa = 5e3;
const paPerK = 1.05e6;

export const shapeTrials: readonly ShapeTrial[] = [
  { shape: 'steady', make: (_, signalPa) => ({ recipe: { leakDropPa: signalPa }, choices: {} }) },
  {
    shape: 'settling',
    make: (source, sizePa) => ({ recipe: { settling: { sizePa, tauS: source.between(20, 150) } }, choices: {} }),
  },
  {
    shape: 'step',
    make: (source, sizePa) => ({ recipe: { step: { sizePa, atS: source.between(45, 255) } }, choices: {} }),
  },
  {
    shape: 'thermal',
    make: (source, signalPa) => {
      const tauS = source.between(300, 1500);
      const coolK = signalPa / paPerK / (1 - Math.exp(-300 / tauS));
      return { recipe: { oil: { coolK, tauS, paPerK, probe: { lagS: 15, noiseK: 0.002 } } }, choices: {} };
    },
  },
  /** Noise so many times larger than what the limit allows that the dwell can't see the limit. */
  {
    shape: 'noisy',
    make: (_, signalPa) => ({ recipe: {}, choices: { allowed: [dropLimit((0.3 * noisePa ** 2) / signalPa)] } }),
  },
  /** Steps so many times larger than the fall. */
  {
    shape: 'quantised',
    atLeast: 1,
    make: (source, signalPa) => {
      const stepPa = Math.round(signalPa);
      return {
        recipe: {
          resolutionPa: stepPa,
          leakDropPa: noisePa,
          noise: correlatedNoiseSource(source, 0, noisePa / 10),
          startPa: 242e5 + source.between(0, stepPa),
        },
        choices: { resolutionPa: stepPa },
      };
    },
  },
  { shape: 'none', make: () => ({ recipe: {}, choices: {} }) },
];

/** How often a true shape was named rightly, left open and named wrongly; and what it was named. */
export interface ShapeOutcome {
  readonly shape: DiagnosisShape;
  readonly right: number;
  readonly open: number;
  readonly wrong: number;
  readonly named: ReadonlyMap<DiagnosisShape, number>;
}

/** Diagnoses `holds` dwells of one shape whose signal is `ratio` times the noise of a reading. */
export function runShape(trial: ShapeTrial, ratio: number, holds: number, firstSeed: number): ShapeOutcome {
  const named = new Map<DiagnosisShape, number>();
  for (let hold = 0; hold < holds; hold++) {
    const source = chance(firstSeed + hold * 104_729);
    const { recipe, choices } = trial.make(source, ratio * noisePa);
    const dwell = simulatedDwell({
      source,
      durationS: 300,
      ratePerS: 10,
      startPa: 242e5,
      leakDropPa: 0,
      noise: correlatedNoiseSource(source, 0, noisePa),
      resolutionPa: 100,
      ...recipe,
    });
    const shape = evaluate(holdContext({ resolutionPa: 100, ...choices }), dwell).diagnosis?.shape ?? 'none';
    named.set(shape, (named.get(shape) ?? 0) + 1);
  }
  const right = (named.get(trial.shape) ?? 0) / holds;
  const open = trial.shape === 'none' ? 0 : (named.get('none') ?? 0) / holds;
  return { shape: trial.shape, right, open, wrong: Math.max(0, 1 - right - open), named };
}
