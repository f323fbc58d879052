import { median } from '../statistics/lines.js';
import type { Blocks } from '../trace/block-means.js';
import { cellsOf } from './cells.js';
import { stepsBySpan } from './steps.js';

/** A rise that a shut-in volume can't make by itself. */
export interface Fed {
  /** How far the pressure rose, Pa; for strokes their mean height. */
  readonly byPa: number;
  /** When, s from the start of the trace. */
  readonly atS: number;
  /** Small strokes again and again, rather than one rise. */
  readonly strokes: boolean;
}

/** What a rise is held against. */
export interface FedSetting {
  /** What was fed in must have raised the pressure by this much in all, Pa. */
  readonly leastPa: number;
  /** Rate at which unmeasured warming may raise the pressure, Pa/s. */
  readonly warmingPaPerS: number;
  /** Wander of the gauge, standard deviation, Pa. */
  readonly wanderPa: number;
  /** Noise of a reading, standard deviation, Pa. */
  readonly noisePa: number;
  /** A step of the display, as far as noise does not smooth it, Pa. */
  readonly stepPa: number;
}

/** Means over so many seconds are compared. */
const spansS = [4, 12, 30];
/** A rise must exceed so many standard deviations of the difference of two means. */
const sure = 5.5;
/** So many more steps up than down, in standard deviations of their difference, are strokes. */
const strokesSure = 3.2;

/**
 * The greatest rise above the lowest point before it, once measured temperature has been taken out: a shut-in volume
 * only loses. Means over a few seconds are compared; their scatter comes from the median second
 * difference, so that a feed of a minute does not pass for noise.
 * @param course fall by measured temperature at a time, Pa, added back before the comparison
 */
export function fedBy(
  blocks: Blocks,
  untilS: number,
  course: (timeS: number) => number,
  setting: FedSetting,
): Fed | null {
  let found: Fed | null = null;
  for (const spanS of spansS) {
    const many = Math.floor(untilS / spanS);
    if (many < 6) continue;
    const { t, y } = cellsOf(blocks, 0, untilS, many);
    const left = y.map((value, i) => value + course(t[i] ?? 0));
    const scatterPa = scatterOf(left);
    let lowest = Number.POSITIVE_INFINITY;
    let lowestS = 0;
    for (let i = 0; i < left.length; i++) {
      const value = left[i] ?? 0;
      const byPa = value - lowest;
      const may =
        sure * Math.SQRT2 * scatterPa +
        4 * setting.wanderPa +
        setting.stepPa +
        setting.warmingPaPerS * ((t[i] ?? 0) - lowestS);
      if (byPa > Math.max(may, setting.leastPa) && byPa > (found?.byPa ?? 0))
        found = { byPa, atS: t[i] ?? 0, strokes: false };
      if (value < lowest) [lowest, lowestS] = [value, t[i] ?? 0];
    }
  }
  return found ?? strokesIn(blocks, untilS, setting);
}

/** Standard deviation of one mean, from second differences, robustly. */
function scatterOf(values: Float64Array): number {
  const seconds: number[] = [];
  for (let i = 2; i < values.length; i++)
    seconds.push(Math.abs((values[i] ?? 0) - 2 * (values[i - 1] ?? 0) + (values[i - 2] ?? 0)));
  return median(Float64Array.from(seconds)) / 0.6745 / Math.sqrt(6);
}

/**
 * Strokes of a pump that keep a leaking volume up: a saw-tooth of quick rises and slow falls. The steps between two
 * windows on either side of every moment, less the usual one of their half minute, are counted where they peak; noise of any colour steps up as
 * often as down, a pump only up.
 */
function strokesIn(blocks: Blocks, untilS: number, { noisePa, stepPa, leastPa }: FedSetting): Fed | null {
  let surest: Fed | null = null;
  let most = strokesSure;
  for (const { ups, downs } of stepsBySpan(blocks, untilS, { noisePa, stepPa })) {
    const sureness = (ups.length - downs.length) / Math.sqrt(Math.max(1, ups.length + downs.length));
    const fedPa = ups.reduce((sum, { byPa }) => sum + byPa, 0);
    if (sureness <= most || fedPa < leastPa) continue;
    most = sureness;
    surest = { byPa: fedPa / ups.length, atS: ups[0]?.atS ?? 0, strokes: true };
  }
  return surest;
}
