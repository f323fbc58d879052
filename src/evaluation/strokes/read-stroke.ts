import type { SeenStroke } from '../../holdtest/index.js';
import type { PortName } from '../../hydraulics/index.js';
import type { GaugeSpec } from '../../procedure/index.js';
import { rootSumSquares, square } from '../../units/index.js';
import { breakAwayAt, type StrokePoint } from './approach.js';
import { stickSlipIn } from './saw-tooth.js';
import type { StrokeResult } from './stroke-result.js';

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
