import { atmospherePa } from '../../hydraulics/index.js';
import { rootSumSquares, square } from '../../units/index.js';
import { median } from '../statistics/theil-sen.js';
import type { RiseSection } from './rise-sections.js';
import { weightedFit } from './weighted-fit.js';

/** What the bow of a rise says of trapped air. */
export interface AirInRise {
  /** Free air at the atmosphere over the solid give of everything else, Pa: times that give over the volume, a share. */
  readonly airOverGivePa: number;
  readonly uPa: number;
}

/** What a gauge and a clock may be off by beside their steps: lag, the first opening of a valve. */
const leastTimeU = 0.02;
const fewestPoints = 8;

/**
 * Trapped air from the bow of a rise at constant flow, by weighted least squares on
 *
 *     t = t0 + a p + b p/(p + p0) + c p2,    b/a = x V / (V/K)
 *
 * series rule with isothermal air, which swallows half of its oil by one bar and all but a twentieth by twenty. The
 * last term takes up what bends a rise slowly: heat leaving the oil, seals and hoses that go on yielding, a pump that
 * slips. Without a known flow only the ratio b/a is seen, and it is enough. A rise whose rate was held constant by hand
 * shows no bow.
 * @param noisePa standard uncertainty of one reading
 * @param lagS by how much the gauge may follow late: its start from zero is bowed by as much, air or not
 * @returns null when the section begins too high or has too few points to tell
 */
export function airInRise(section: RiseSection, noisePa: number, lagS: number): AirInRise | null {
  const first = section[0];
  if (!first) return null;
  // A section that starts at the last vented reading: pumping began somewhere after it.
  const points = first.pa === 0 ? section.slice(1) : section;
  const [from, to] = [points[0], points.at(-1)];
  if (!from || !to || points.length < fewestPoints || from.pa > 10 * atmospherePa) return null;
  const bent = to.pa > 30 * atmospherePa;
  const p0 = atmospherePa;
  const rows = points.map(({ pa }) => [1, pa / p0, pa / (pa + p0), ...(bent ? [square(pa / to.pa)] : [])]);
  const times = points.map(({ s }) => s - from.s);
  let paceSPerPa = points.map(() => (to.s - from.s) / (to.pa - from.pa));
  let found: AirInRise | null = null;
  for (let round = 0; round < 4; round++) {
    const u = paceSPerPa.map((pace) => rootSumSquares(leastTimeU, noisePa * pace));
    const fit = weightedFit(rows, times, u);
    const [, a, b] = fit?.values ?? [];
    if (!fit || a === undefined || b === undefined || !(a > 0)) return null;
    const ratio = b / a;
    // What the curve leaves over may be a booster's stroke and not noise: it counts in full.
    const bowU = rootSumSquares(fit.u[2] ?? 0, fit.rest, lagS);
    found = { airOverGivePa: ratio * p0, uPa: p0 * rootSumSquares(bowU / a, (ratio * (fit.u[1] ?? 0)) / a) };
    paceSPerPa = points.map(({ pa }) => (a + (Math.max(0, b) * p0 * p0) / square(pa + p0)) / p0);
  }
  return found;
}

/** The end of a rise is held against the pace of this part of it. */
const [paceFromShare, paceToShare] = [0.5, 0.85];
/** Slower than this share of the pace up to the end, and than the next one at it, the reading came after a pump that had stopped. */
const stoppedShare = 0.85;
const dyingShare = 0.3;

/**
 * How late a gauge follows, s, from the end of a rise: what it still gained after the pump had stopped, over the pace
 * before. A filter of one time constant, or a mean over twice that, gives about that constant; a pump that eases off
 * by hand looks the same, one that slips as the pressure rises does not. Trapped air bows the start alone.
 */
export function lagOfRise(points: RiseSection): number {
  const peakPa = points.at(-1)?.pa ?? 0;
  const rates = points.slice(1).map((point, i) => {
    const before = points[i] ?? point;
    return { pa: before.pa, paPerS: (point.pa - before.pa) / Math.max(1e-3, point.s - before.s) };
  });
  const usual = rates.filter(({ pa }) => pa >= paceFromShare * peakPa && pa < paceToShare * peakPa);
  const pace = median(Float64Array.from(usual, ({ paPerS }) => paPerS));
  if (!(pace > 0)) return 0;
  const lastQuick = rates.findLastIndex(({ paPerS }) => paPerS >= stoppedShare * pace);
  const stopped = points[lastQuick + 1];
  const [beforeLast, last] = [points.at(-3), points.at(-1)];
  const dies = beforeLast && last && last.pa - beforeLast.pa < dyingShare * pace * (last.s - beforeLast.s);
  return stopped && dies ? (peakPa - stopped.pa) / (stoppedShare * pace) : 0;
}
