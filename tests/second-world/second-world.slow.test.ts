import { randomInt } from 'node:crypto';
import { afterAll, describe, expect, it } from 'vitest';
import { type Bound, type Cell, cells } from './cells/index.js';
import { endWorkers, runCell, said } from './tables.js';
import { type BoundSeen, judgeBound, judgeTogether } from './tally.js';

/** `npm run bench:truth` has the shares themselves; this finds what is far from its bounds. */
const seed = Number(process.env.DWELLMARK_SECOND_WORLD_SEED ?? randomInt(1, 2 ** 31));
const holds = Number(process.env.DWELLMARK_SECOND_WORLD_HOLDS ?? 5);
/**
 * Wrong verdicts are held to their bounds. How many are right is printed by the bench alone, for these are not kept yet:
 * oil fed slowly (200 s) or by small strokes passes in 4 of 10 holds that were fed more than a quarter of the limit;
 * bursts are left open in most holds. Good cylinders must pass on every gauge, and gross leaks fail within their bands.
 */
const wrong = /pass at a loss|fail at a loss|not finite/;
const keeps = ({ group }: Cell, seen: BoundSeen): boolean =>
  wrong.test(said(seen)) ||
  (group === 'gauges on good cylinders' && seen.bound.count === 'pass') ||
  (group === 'gross leaks' && (seen.bound.count === 'covered' || seen.bound.count === 'fail'));
/** What "none" allows before it is chance no more. */
const hardly = 0.01;
const widened = (bound: Bound): Bound =>
  bound.atMost === 0 && bound.count !== 'not finite' ? { ...bound, atMost: hardly } : bound;

afterAll(endWorkers);

describe(`${cells.length} kinds of hold of the second world, ${holds} each, seed ${seed}`, () => {
  it('are not judged wrongly, kind by kind and all together, but for chance', async () => {
    const outside: string[] = [];
    const together = new Map<string, BoundSeen[]>();
    for (const cell of cells) {
      const trials = await runCell(cell, { holds, seed });
      for (const bound of cell.bounds.map(widened)) {
        const seen = judgeBound(bound, trials);
        if (!keeps(cell, seen)) continue;
        if (seen.chance < 1e-5) outside.push(`${cell.group}, ${cell.name}: ${said(seen)}`);
        const key = JSON.stringify(bound);
        together.set(key, [...(together.get(key) ?? []), seen]);
      }
    }
    for (const seen of together.values()) {
      const pooled = judgeTogether(seen);
      if (pooled && pooled.chance < 1e-4) outside.push(`all together: ${said(pooled)}`);
    }
    expect(outside).toEqual([]);
  }, 1_800_000);
});
