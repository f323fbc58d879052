import { type Reading, readingFlags } from '../../gauge/index.js';
import type { HoldState, SeenStroke } from '../../holdtest/index.js';
import type { PortName } from '../../hydraulics/index.js';
import type { GaugeSpec } from '../../procedure/index.js';
import { rootSumSquares, square } from '../../units/index.js';
import type { StrokeResult } from './break-away.js';
import { stickSlipIn } from './saw-tooth.js';

/** A reading of a stroke: seconds on the gauge's clock, pascals above the vented zero. */
export interface StrokePoint {
  readonly s: number;
  readonly pa: number;
  /** At the other port; null when no gauge shows it. */
  readonly oppositePa: number | null;
}

/** The pressure at which the piston began to move, and its standard uncertainty. */
export interface BreakAway {
  readonly pa: number;
  readonly u: number;
}

/** The last part of the rise that is taken for a straight line, s and readings. */
const straightS = 1;
const straightMost = 12;
const straightLeast = 4;
/** A gauge answers within this, so that it lags a rise by half of what it rises in that time, give or take as much. */
const answersWithinS = 0.1;
/** A break-away known worse than this share of itself is not stated. */
const worstShare = 0.25;

/**
 * The least pressure that started the motion: a straight line through the end of the rise, at the time between the
 * last reading before the fall and the first after it. What a reading misses of the top at this rise, and what a gauge
 * may lag, goes into the uncertainty with noise and resolution.
 * @param top index of the top reading
 * @param fell whether the pressure fell quickly after it; without a fall nothing was missed between two readings
 * @returns null when the rise was too quick for the gauge
 */
export function breakAwayAt(
  points: readonly StrokePoint[],
  top: number,
  fell: boolean,
  { noisePa, resolutionPa, gain }: { readonly noisePa: number; readonly resolutionPa: number; readonly gain: number },
): BreakAway | null {
  const [at, next] = [points[top], points[top + 1]];
  if (!at || !next) return null;
  const rise = points
    .slice(Math.max(0, top - straightMost + 1), top + 1)
    .filter(({ s, pa }) => at.s - s <= straightS && pa > 0.3 * at.pa);
  if (rise.length < straightLeast) return null;
  const line = lineThrough(rise, at.s);
  const slope = Math.max(0, line.slope);
  const missedPa = fell ? (slope * (next.s - at.s)) / 2 : 0;
  const lagPa = (slope * answersWithinS) / 2;
  const scatter = Math.max(noisePa, line.residualPa);
  const u = rootSumSquares(
    scatter * line.leverage,
    missedPa / Math.sqrt(3),
    lagPa / Math.sqrt(3),
    // The steps of the display, here and at the zero.
    (Math.SQRT2 * resolutionPa) / Math.sqrt(12),
    (gain * at.pa) / Math.sqrt(3),
  );
  const pa = line.pa + missedPa + (fell ? lagPa : 0);
  return 2 * u > worstShare * pa ? null : { pa, u };
}

/** Least squares through points, its value at a time, the scatter about it, and how that scatter enters the value. */
export function lineThrough(
  points: readonly Pick<StrokePoint, 's' | 'pa'>[],
  atS: number,
): { readonly pa: number; readonly slope: number; readonly residualPa: number; readonly leverage: number } {
  const n = points.length;
  const meanS = points.reduce((sum, { s }) => sum + s, 0) / n;
  const meanPa = points.reduce((sum, { pa }) => sum + pa, 0) / n;
  const ss = points.reduce((sum, { s }) => sum + square(s - meanS), 0);
  const sp = points.reduce((sum, { s, pa }) => sum + (s - meanS) * (pa - meanPa), 0);
  const slope = ss > 0 ? sp / ss : 0;
  const squares = points.reduce((sum, { s, pa }) => sum + square(pa - meanPa - slope * (s - meanS)), 0);
  return {
    pa: meanPa + slope * (atS - meanS),
    slope,
    residualPa: Math.sqrt(squares / Math.max(1, n - 2)),
    leverage: Math.sqrt(1 / n + (ss > 0 ? square(atS - meanS) / ss : 0)),
  };
}

/** Left out at either end of a run: the valve being opened, and the way to the stop. */
const openedS = 3;
const endShare = 0.1;
/** A run of fewer readings has no level. */
const fewestReadings = 8;
/** The run is cut into so many parts; their means tell how well its mean is known. */
const parts = 8;

/**
 * Break-away and drag of one slow stroke, after SAE J1335: the least pressure that starts the motion, and the pressure
 * that keeps it. Pressures are above the vented zero, so that an offset of the gauge cancels; its gain enters with its
 * accuracy class.
 * @param points readings from before the pressure came to after it went
 * @example a piston that grips to 4.1 bar and runs at 3.0: breakAwayPa 4.1e5, runningPa 3.0e5
 */
export function breakAway(
  points: readonly StrokePoint[],
  seen: SeenStroke,
  number: number,
  port: PortName,
  gauge: GaugeSpec,
): StrokeResult {
  const { resolutionPa } = gauge;
  const noise = { noisePa: seen.noisePa, resolutionPa };
  const [topS, toS] = [seen.topUs / 1e6, seen.runToUs / 1e6];
  const run = runBetween(points, topS, toS);
  const level = levelOf(run, noise);
  const top = lastAtTop(points, topNear(points, topS), 3 * seen.noisePa + resolutionPa);
  const fell = seen.shownBy === 'fall after the top' || (points[top]?.pa ?? 0) - (level?.pa ?? 0) > 6 * seen.noisePa;
  const started = breakAwayAt(points, top, fell, { ...noise, gain: gauge.accuracyOfSpan });
  const gainPa = (gauge.accuracyOfSpan * (level?.pa ?? 0)) / Math.sqrt(3);
  return {
    number,
    direction: port === 'A' ? 'out' : 'in',
    startUs: seen.fromUs,
    endUs: seen.endUs,
    restS: seen.restS,
    breakAwayPa: started?.pa ?? null,
    breakAwayUncertaintyPa: started ? 2 * started.u : null,
    runningPa: level?.pa ?? null,
    runningUncertaintyPa: level ? 2 * rootSumSquares(level.u, gainPa) : null,
    runningSpreadPa: level?.spreadPa ?? null,
    runningDifferencePa: level?.differencePa ?? null,
    runS: toS - topS,
    stickSlip: stickSlipIn(run, noise),
    end: seen.end,
    shownBy: seen.shownBy,
  };
}

/** The readings of the run without its ends. */
function runBetween(points: readonly StrokePoint[], fromS: number, toS: number): StrokePoint[] {
  const opened = Math.min(openedS, (toS - fromS) / 4);
  const [from, to] = [fromS + opened, toS - endShare * (toS - fromS)];
  return points.filter(({ s }) => s >= from && s <= to);
}

/** The highest reading about a time. */
function topNear(points: readonly StrokePoint[], atS: number): number {
  let top = -1;
  for (const [index, point] of points.entries()) {
    if (Math.abs(point.s - atS) > 0.5) continue;
    if (top < 0 || point.pa > (points[top]?.pa ?? 0)) top = index;
  }
  return top;
}

/** The last reading that still stands at the top: noise puts the highest one anywhere near it. */
function lastAtTop(points: readonly StrokePoint[], highest: number, withinPa: number): number {
  let top = highest;
  const floorPa = (points[highest]?.pa ?? 0) - withinPa;
  while ((points[top + 1]?.pa ?? Number.NEGATIVE_INFINITY) >= floorPa && top - highest < 5) top += 1;
  return top;
}

interface Level {
  readonly pa: number;
  readonly u: number;
  readonly spreadPa: number;
  readonly differencePa: number | null;
}

function levelOf(
  run: readonly StrokePoint[],
  { noisePa, resolutionPa }: { readonly noisePa: number; readonly resolutionPa: number },
): Level | null {
  if (run.length < fewestReadings) return null;
  const pa = meanOf(run.map((point) => point.pa));
  const each = Math.floor(run.length / Math.min(parts, Math.floor(run.length / 2)));
  const means: number[] = [];
  for (let from = 0; from + each <= run.length; from += each)
    means.push(meanOf(run.slice(from, from + each).map((point) => point.pa)));
  const u = rootSumSquares(
    deviation(means) / Math.sqrt(means.length),
    noisePa / Math.sqrt(run.length),
    (Math.SQRT2 * resolutionPa) / Math.sqrt(12),
  );
  const differences = run.flatMap((point) => (point.oppositePa === null ? [] : [point.pa - point.oppositePa]));
  return {
    pa,
    u,
    spreadPa: deviation(run.map((point) => point.pa)),
    differencePa: differences.length === run.length ? meanOf(differences) : null,
  };
}

const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

function deviation(values: readonly number[]): number {
  const mean = meanOf(values);
  return Math.sqrt(values.reduce((sum, value) => sum + square(value - mean), 0) / Math.max(1, values.length - 1));
}

const unusable = readingFlags.otherUnit | readingFlags.checksum;
/** Readings kept while nothing happens, for the beginning of a rise. */
const keptAtRest = 4;
/** Of one stroke no more are kept: ten minutes at a hundred a second. A longer run is read from its first part. */
const keptMost = 60_000;

/** Keeps the readings of the pressure under way, and reads each stroke that the phases see in it. */
export class StrokeWatch {
  readonly #points: StrokePoint[] = [];
  readonly strokes: StrokeResult[] = [];

  /** A reading, and the state in which it arrives. */
  add({ timeUs, pressurePa, oppositePa, flags }: Reading, { strokes, phase }: HoldState): void {
    if (phase.name === 'dwell' || phase.name === 'bleed-down' || phase.name === 'done') return;
    if (pressurePa === null || (flags & unusable) !== 0) return;
    if (strokes.open === null) this.#points.splice(0, this.#points.length - keptAtRest);
    if (this.#points.length < keptMost) this.#points.push({ s: timeUs / 1e6, pa: pressurePa, oppositePa });
  }

  /** A stroke that the phases saw in the readings so far. */
  seen(stroke: SeenStroke, number: number, port: PortName, gauge: GaugeSpec): void {
    const points = this.#points.map((point) => ({ ...point, pa: point.pa - stroke.zeroPa }));
    this.strokes.push(breakAway(points, stroke, number, port, gauge));
  }
}
