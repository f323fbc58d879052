import { describe, expect, it } from 'vitest';
import { startDwell } from '../../src/evaluation/dwell.js';
import type { EarlyWord } from '../../src/evaluation/index.js';
import { dropLimit, holdContext } from './holds.js';
import { chance } from './trace-generator.js';

/** Runs a dwell of 300 s with 0.05 bar of noise and asks every ten seconds. */
function words(fallOver300sPa: number, seed = 1, limitPa = 5e5): EarlyWord[] {
  const dwell = startDwell(holdContext({ allowed: [dropLimit(limitPa)], stabilityPa: 1e4 }));
  const source = chance(seed);
  const heard: EarlyWord[] = [];
  for (let i = 0; i <= 3000; i++) {
    dwell.add(i * 1e5, Math.round(242e5 - (fallOver300sPa * i) / 3000 + 5e3 * source.normal()), null, 0);
    if (i > 0 && i % 100 === 0) heard.push(dwell.early(i * 1e5));
  }
  return heard;
}

describe('the early word', () => {
  it('says nothing before there is something to say', () => {
    expect(startDwell(holdContext()).early(0)).toEqual({
      dropPa: null,
      bandPa: null,
      ratePaPerS: null,
      word: 'cannot tell yet',
      secondsForClearVerdict: null,
    });
  });

  it('a tight cylinder: pass likely well before the end, and the band narrows', () => {
    expect(words(2e5).at(0)?.word).toBe('cannot tell yet');
    const heard = words(0.5e5);
    expect(heard.at(12)?.word).toBe('pass likely');
    expect(heard.at(-1)?.word).toBe('pass likely');
    expect(heard.at(-1)?.bandPa ?? 0).toBeLessThan((heard.at(3)?.bandPa ?? 0) / 5);
  });

  it('the drop it speaks of is that over the demanded dwell', () => {
    expect(words(2e5).at(14)?.dropPa).toBeGreaterThan(1.8e5);
    expect(words(2e5).at(14)?.dropPa).toBeLessThan(2.2e5);
  });

  it('a gross leak: certain to fail once the fall has passed the limit, and certain from then on', () => {
    const heard = words(20e5);
    const first = heard.findIndex(({ word }) => word === 'certain to fail');
    expect(first * 10 + 10).toBeGreaterThan(75);
    expect(first * 10 + 10).toBeLessThan(100);
    expect(heard.slice(first).every(({ word }) => word === 'certain to fail')).toBe(true);
  });

  it('never certain for a fall that ends at nine tenths of the limit, in four dwells', () => {
    for (let seed = 1; seed <= 4; seed++)
      expect(words(4.5e5, seed).some(({ word }) => word === 'certain to fail')).toBe(false);
  });

  it('tells how much longer: the fall is at half the limit, and at that time it is indeed clear', () => {
    const heard = words(2.5e5);
    const unclear = heard.findIndex(({ secondsForClearVerdict: s }) => s !== null && s > 0);
    const wait = heard[unclear]?.secondsForClearVerdict ?? 0;
    expect(unclear).toBeGreaterThanOrEqual(0);
    const later = heard[Math.min(heard.length - 1, unclear + Math.ceil(wait / 10) + 3)];
    expect(later?.secondsForClearVerdict).toBe(0);
  });
});
