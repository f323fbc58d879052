import { describe, expect, it } from 'vitest';
import type { StageResult } from '../../src/evaluation/index.js';
import type { DiagnosisShape } from '../../src/evaluation/result.js';
import { evaluate } from './ensembles.js';
import { dropLimit, type HoldChoices, holdContext } from './holds.js';
import { chance, correlatedNoiseSource, type DwellRecipe, simulatedDwell } from './trace-generator.js';

function hold(recipe: Partial<DwellRecipe>, choices: HoldChoices = {}): StageResult {
  const source = chance(77);
  return evaluate(
    holdContext(choices),
    simulatedDwell({
      source,
      durationS: 300,
      ratePerS: 10,
      startPa: 242e5,
      leakDropPa: 0,
      noise: correlatedNoiseSource(source, 0, 5e3),
      resolutionPa: 1e3,
      ...recipe,
    }),
  );
}

describe('the shape of a dwell', () => {
  it.each<[string, Partial<DwellRecipe>, HoldChoices, DiagnosisShape]>([
    ['an even fall is steady', { leakDropPa: 2e5 }, {}, 'steady'],
    ['a fall that dies away is settling', { settling: { sizePa: 5e4, tauS: 60 } }, {}, 'settling'],
    ['a sudden fall is a step', { step: { sizePa: 5e4, atS: 140 } }, {}, 'step'],
    ['a tight hold has nothing to diagnose', {}, {}, 'none'],
    ['noise that hides the limit is noisy', {}, { allowed: [dropLimit(500)] }, 'noisy'],
    [
      'a display of 1 bar that moved once is quantised',
      { leakDropPa: 1e5, resolutionPa: 1e5 },
      { resolutionPa: 1e5 },
      'quantised',
    ],
    [
      'a fall that the oil explains is thermal',
      { oil: { coolK: 1, tauS: 900, paPerK: 1.05e6, probe: { lagS: 0, noiseK: 0.01 } } },
      {},
      'thermal',
    ],
  ])('%s', (_, recipe, choices, shape) => {
    expect(hold(recipe, choices).diagnosis?.shape).toBe(shape);
  });

  it('a fall too small to tell its shape has none', () => {
    expect(hold({ leakDropPa: 1500 }).diagnosis?.shape).toBe('none');
  });

  it('comes with likely causes and something to try', () => {
    const steady = hold({ leakDropPa: 2e5 }).diagnosis;
    expect(steady?.likely).toContain('oil passes the piston seal');
    expect(steady?.tryNext).toContain('bench check with plugged lines, compared in mL/min');
    expect(steady?.strength).toBeGreaterThan(0.6);
  });

  it('corrects the drop for a step instead of running a line through it', () => {
    const result = hold({ step: { sizePa: 5e4, atS: 140 } });
    expect(Math.abs((result.dropPa ?? 0) - 5e4)).toBeLessThan(result.dropUncertaintyPa ?? 0);
    expect(result.flags.map((flag) => flag.code)).toContain('sped-up');
  });
});

describe('the second opinion', () => {
  it('differs when a burst drags least squares along', () => {
    const source = chance(31);
    const dwell = simulatedDwell({
      source,
      durationS: 60,
      ratePerS: 10,
      startPa: 242e5,
      leakDropPa: 1e5,
      noise: correlatedNoiseSource(source, 0, 5e3),
    });
    const pressurePa = dwell.pressurePa.map((p, i) => (i > 560 && i % 8 < 3 ? p - 2.5e5 : p));
    const result = evaluate(holdContext({ dwellS: 60 }), { ...dwell, pressurePa });
    const codes = result.flags.map((flag) => flag.code);
    expect(codes.includes('second-opinion-differs') || codes.includes('not-one-line')).toBe(true);
  });

  it('stands ties: steps coarser than the fall raise no alarm', () => {
    const result = hold(
      { leakDropPa: 2e4, resolutionPa: 1e5, noise: () => 0, startPa: 242.06e5 },
      { resolutionPa: 1e5 },
    );
    expect(result.flags.map((flag) => flag.code)).not.toContain('second-opinion-differs');
  });

  it('agrees on clean holds', () => {
    expect(hold({ leakDropPa: 2e5 }).flags.map((flag) => flag.code)).not.toContain('second-opinion-differs');
  });
});
