import type { RisePoint, SeenRise } from './rise-watch.js';

/** Part of a rise without a pause and at one pace: at least two points. */
export type RiseSection = readonly RisePoint[];

/** A pause: this many times the pace before it, and at least so many seconds more. */
const pauseTimes = 2;
const pauseS = 1;
/** A change of pump: this many times slower or faster over the next points; below this share of the peak it is air. */
const paceTimes = 1.5;
const paceOver = 8;
const paceFrom = 0.15;

/**
 * Cuts a rise where the supply changed: at a pause (pump to booster, a hold between two stages) and where the pace
 * jumps. Trapped air slows a rise only near zero and eases off smoothly, so it makes no cut.
 */
export function riseSections(rise: SeenRise): readonly RiseSection[] {
  const { ventedUntilS, points } = rise;
  const quickStart = ventedUntilS !== null && ventedUntilS < (points[0]?.s ?? 0);
  const all = quickStart ? [{ s: ventedUntilS, pa: 0 }, ...points] : points;
  const peakPa = all.at(-1)?.pa ?? 0;
  const paces = all.slice(1).map((point, i) => pace(all[i], point));
  const sections: RisePoint[][] = [];
  let open = all.slice(0, 1);
  let usual: number[] = [];
  for (let i = 1; i < all.length; i++) {
    const [before, point, here] = [all[i - 1], all[i], paces[i - 1]];
    if (!before || !point || here === undefined) continue;
    const usualPace = middle(usual);
    const lateS = usualPace === null ? 0 : point.s - before.s - usualPace * (point.pa - before.pa);
    const paused = usualPace !== null && here > pauseTimes * usualPace && lateS > pauseS;
    if (paused || paceJumps(all, paces, i - 1, usual.length, point.pa >= paceFrom * peakPa)) {
      sections.push(open);
      open = paused ? [point] : [before, point];
      usual = paused ? [] : [here];
      continue;
    }
    open.push(point);
    usual = [...usual.slice(1 - paceOver), here];
  }
  sections.push(open);
  return sections.filter((section) => section.length >= 2);
}

const pace = (from: RisePoint | undefined, to: RisePoint): number =>
  from && to.pa > from.pa ? (to.s - from.s) / (to.pa - from.pa) : 0;

/** Both the middle pace and the whole of it must jump: one coarse step of the display moves neither. */
function paceJumps(
  all: readonly RisePoint[],
  paces: readonly number[],
  at: number,
  usual: number,
  clearOfAir: boolean,
): boolean {
  if (!clearOfAir || usual < paceOver || at + paceOver > paces.length) return false;
  const [from, here, to] = [all[at - paceOver], all[at], all[at + paceOver]];
  if (!here || !to) return false;
  const jumps = (before: number, after: number): boolean =>
    before > 0 && after > 0 && (after > paceTimes * before || before > paceTimes * after);
  const middles = (start: number): number => middle(paces.slice(start, start + paceOver)) ?? 0;
  return jumps(pace(from, here), pace(here, to)) && jumps(middles(at - paceOver), middles(at));
}

function middle(values: readonly number[]): number | null {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? null;
}
