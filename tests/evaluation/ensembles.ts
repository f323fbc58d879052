import type { DwellContext } from '../../src/evaluation/context.js';
import { startDwell } from '../../src/evaluation/dwell.js';
import type { StageResult } from '../../src/evaluation/index.js';
import { dropLimit, holdContext } from './holds.js';
import { type Chance, chance, correlatedNoiseSource, type SimulatedDwell, simulatedDwell } from './trace-generator.js';

/** A kind of hold, simulated many times with another seed each. */
export interface Ensemble {
  readonly name: string;
  make(source: Chance): { readonly context: DwellContext; readonly dwell: SimulatedDwell };
}

/** What came out over all holds of an ensemble. */
export interface EnsembleOutcome {
  readonly holds: number;
  /** Share of holds whose 95 % band holds the truth. */
  readonly coverage: number;
  /** Share of passes at a true drop of exactly the limit. */
  readonly falsePass: number;
  /** Standard deviation of the error of the drop, Pa. */
  readonly errorSd: number;
  /** Mean error, Pa. */
  readonly bias: number;
  /** Mean expanded uncertainty, Pa. */
  readonly meanU: number;
  /** The same two for first reading minus last. */
  readonly twoReadingSd: number;
  readonly twoReadingBias: number;
}

export function evaluate(context: DwellContext, dwell: SimulatedDwell): StageResult {
  const running = startDwell(context);
  for (let i = 0; i < dwell.timeUs.length; i++)
    running.add(dwell.timeUs[i] ?? 0, dwell.pressurePa[i] ?? 0, dwell.oilK[i] ?? null, 0);
  return running.finish({ endUs: dwell.timeUs.at(-1) ?? 0, cutShort: false, voided: null });
}

/** Runs an ensemble. The limit of each hold is its own true drop, so that every pass is a false pass. */
export function runEnsemble(ensemble: Ensemble, holds: number, firstSeed: number): EnsembleOutcome {
  let [covered, passes, sum, squares, expanded, twoSum, twoSquares] = [0, 0, 0, 0, 0, 0, 0];
  for (let hold = 0; hold < holds; hold++) {
    const { context, dwell } = ensemble.make(chance(firstSeed + hold * 7919));
    const limit = dropLimit(dwell.trueDropPa);
    const result = evaluate({ ...context, stage: { ...context.stage, allowed: [limit] } }, dwell);
    const error = (result.dropPa ?? Number.NaN) - dwell.trueDropPa;
    const u = result.dropUncertaintyPa ?? 0;
    if (Math.abs(error) <= u) covered++;
    if (result.verdict === 'pass') passes++;
    sum += error;
    squares += error * error;
    expanded += u;
    const two = (dwell.pressurePa[0] ?? 0) - (dwell.pressurePa.at(-1) ?? 0) - dwell.trueDropPa;
    twoSum += two;
    twoSquares += two * two;
  }
  const sd = (total: number, square: number): number => Math.sqrt(square / holds - (total / holds) ** 2);
  return {
    holds,
    coverage: covered / holds,
    falsePass: passes / holds,
    errorSd: sd(sum, squares),
    bias: sum / holds,
    meanU: expanded / holds,
    twoReadingSd: sd(twoSum, twoSquares),
    twoReadingBias: twoSum / holds,
  };
}

const durationS = 300;
const startPa = 240e5;
const noisePa = 5e3;

const base = (source: Chance) => ({ source, durationS, startPa, leakDropPa: source.between(0.2e5, 3e5) });

/** Noise with lag-one correlation `correlation` at `ratePerS`. */
const noisy = (name: string, ratePerS: number, correlation: number): Ensemble => ({
  name,
  make: (source) => ({
    context: holdContext({ judge: 'plain drop', dwellS: durationS, resolutionPa: 100 }),
    dwell: simulatedDwell({
      ...base(source),
      ratePerS,
      startPa: startPa + source.between(-1e4, 1e4),
      resolutionPa: 100,
      noise: correlatedNoiseSource(source, correlation, noisePa),
    }),
  }),
});

/** A display whose steps are so many standard deviations of the noise. */
const coarse = (stepsOfNoise: number): Ensemble => ({
  name: `steps of ${stepsOfNoise} x noise`,
  make: (source) => ({
    context: holdContext({ judge: 'plain drop', dwellS: durationS, resolutionPa: 1e4 }),
    dwell: simulatedDwell({
      ...base(source),
      ratePerS: 10,
      startPa: startPa + source.between(-1e4, 1e4),
      resolutionPa: 1e4,
      noise: correlatedNoiseSource(source, 0, 1e4 / stepsOfNoise),
    }),
  }),
});

export const whiteNoise = noisy('white noise', 10, 0);

export const ensembles: readonly Ensemble[] = [
  whiteNoise,
  noisy('AR(1) 0.5', 10, 0.5),
  noisy('AR(1) 0.9', 10, 0.9),
  coarse(2),
  coarse(4),
  coarse(10),
  {
    name: 'oil drifts, probe',
    make: (source) => {
      const paPerK = 1.05e6 + 1e5 * source.normal();
      return {
        context: holdContext({ judge: 'plain drop', dwellS: durationS, resolutionPa: 100, thermalUPaPerK: 1e5 }),
        dwell: simulatedDwell({
          ...base(source),
          ratePerS: 10,
          resolutionPa: 100,
          noise: correlatedNoiseSource(source, 0, noisePa),
          oil: {
            coolK: source.between(-2, 2),
            tauS: source.between(300, 1500),
            paPerK,
            probe: { lagS: source.between(0, 60), noiseK: 0.01 },
          },
        }),
      };
    },
  },
  {
    name: 'settling',
    make: (source) => ({
      context: holdContext({ judge: 'plain drop', dwellS: durationS, resolutionPa: 100 }),
      dwell: simulatedDwell({
        ...base(source),
        ratePerS: 10,
        resolutionPa: 100,
        noise: correlatedNoiseSource(source, 0, noisePa),
        settling: { sizePa: source.between(0, 1e5), tauS: source.between(30, 300) },
      }),
    }),
  },
  {
    name: 'gauge drifts',
    make: (source) => ({
      context: holdContext({ judge: 'plain drop', dwellS: durationS, resolutionPa: 100, stabilityPa: 1e3 }),
      dwell: simulatedDwell({
        ...base(source),
        ratePerS: 10,
        resolutionPa: 100,
        noise: correlatedNoiseSource(source, 0, noisePa),
        gaugeDriftPa: source.between(-1e3, 1e3),
      }),
    }),
  },
  noisy('white, 31 readings', 0.1, 0),
  noisy('AR(1) 0.9, 601 readings', 2, 0.9),
];
