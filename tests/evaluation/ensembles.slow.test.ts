import { describe, expect, it } from 'vitest';
import { type EnsembleOutcome, ensembles, runEnsemble, whiteNoise } from './ensembles.js';
import { runShape, shapeTrials } from './shape-trials.js';
import { runCooling } from './two-readings.js';

const holds = 400;
const seed = 20261125;
const outcomes = new Map<string, EnsembleOutcome>();

/** Runs an ensemble once, whoever asks first. */
function outcomeOf(name: string): EnsembleOutcome {
  const known = outcomes.get(name);
  if (known) return known;
  const ensemble = ensembles.find((one) => one.name === name);
  if (!ensemble) throw new Error(`no ensemble ${name}`);
  const outcome = runEnsemble(ensemble, holds, seed);
  outcomes.set(name, outcome);
  return outcome;
}

describe(`${holds} simulated holds each`, () => {
  const bounded = ['white noise', 'AR(1) 0.5', 'AR(1) 0.9', 'settling'];

  it.each(bounded)('%s: the 95 per cent band holds the truth in 92 to 98 of 100', (name) => {
    const { coverage } = outcomeOf(name);
    expect(coverage).toBeGreaterThanOrEqual(0.92);
    expect(coverage).toBeLessThanOrEqual(0.985);
  });

  // A fall that dies away is taken for a little smaller than it is: 50 of 1000, where 25 are wanted.
  it('settling: at a true drop of exactly the limit, guarded passes at most 60 of 1000', () => {
    expect(outcomeOf('settling').falsePass).toBeLessThanOrEqual(0.06);
  });

  const steady = bounded.filter((name) => name !== 'settling');
  it.each(steady)('%s: at a true drop of exactly the limit, guarded passes at most 25 of 1000', (name) => {
    // Two standard deviations of a share of 2.5 % in so many holds.
    expect(outcomeOf(name).falsePass).toBeLessThanOrEqual(0.025 + 2 * Math.sqrt((0.025 * 0.975) / holds));
  });

  it.each(['steps of 2 x noise', 'steps of 4 x noise', 'oil drifts, probe'])(
    '%s: the band is too wide rather than too narrow',
    (name) => {
      const { coverage, falsePass } = outcomeOf(name);
      expect(coverage).toBeGreaterThanOrEqual(0.92);
      expect(falsePass).toBeLessThanOrEqual(0.025);
    },
  );

  it('white noise: the spread of the drop is near the Cramér-Rao bound', () => {
    const bound = 5e3 * Math.sqrt(12 / 3001);
    const { errorSd } = outcomeOf(whiteNoise.name);
    expect(errorSd / bound).toBeLessThan(1.1);
    expect(errorSd / bound).toBeGreaterThan(0.9);
  });

  it('resolves a leak at least ten times smaller than two readings do', () => {
    const { twoReadingSd, meanU } = outcomeOf(whiteNoise.name);
    expect((1.96 * twoReadingSd) / meanU).toBeGreaterThan(10);
  });
});

// A correction larger than the limit itself can't pass: 0.5 K of cooling are 5.25 bar, and 5 are allowed.
describe('oil that cools by 0.4 K or warms by 0.5', () => {
  it.each([
    ['cools', 0.4, 2e5],
    ['warms', -0.5, 8e5],
  ])(
    '%s: two readings are wrong; a probe puts it right, and without one no verdict is given',
    (_, coolK, leakDropPa) => {
      const outcome = runCooling({ name: '', coolK, leakDropPa }, 300, seed);
      expect(outcome.twoReadings.wrong).toBeGreaterThan(290);
      expect(outcome.withProbe.right).toBeGreaterThan(290);
      expect(outcome.withoutProbe.wrong).toBeLessThanOrEqual(7);
    },
  );
});

describe('diagnosis', () => {
  it.each(shapeTrials)('$shape with a signal of 5 x noise is named in at least 95 %%', (trial) => {
    expect(runShape(trial, 5, 400, seed).right).toBeGreaterThanOrEqual(0.95);
  });

  it.each(shapeTrials.filter((trial) => (trial.atLeast ?? 0) <= 0.2))(
    "$shape lost in the noise: can't tell rather than a wrong name",
    (trial) => {
      for (const ratio of [0.2, 0.05]) expect(runShape(trial, ratio, 200, seed).wrong).toBeLessThanOrEqual(0.05);
    },
  );
});
