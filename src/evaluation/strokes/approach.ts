import { rootSumSquares, square } from '../../units/index.js';
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
