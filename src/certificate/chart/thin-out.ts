/** A point of a chart; a NaN `y` breaks the line. */
export interface ChartPoint {
  readonly x: number;
  readonly y: number;
}

/** A step in time so many times the usual one is a gap in the data and drawn as one. */
const gapFactor = 8;
const shortestGapUs = 1_000_000;

/**
 * The readings between two times, thinned to the lowest and the highest of each of `columns` equal slices of time, so
 * that no spike and no gap is lost and the drawing stays small however long the test was.
 * @param toX chart x of a time in microseconds; `toY` chart y of a pressure in pascals.
 */
export function thinOut(
  timeUs: Float64Array,
  values: Float64Array,
  fromUs: number,
  toUs: number,
  columns: number,
  toX: (us: number) => number,
  toY: (pa: number) => number,
): ChartPoint[] {
  return thinnedAt(timeUs, values, fromUs, toUs, columns).map((at) =>
    at < 0
      ? { x: toX(timeUs[-at] ?? 0), y: Number.NaN }
      : { x: toX(timeUs[at] ?? 0), y: toY(values[at] ?? Number.NaN) },
  );
}

/** Where the readings to be drawn lie. A negative index is a gap: nothing from there on to that reading. */
export function thinnedAt(
  timeUs: Float64Array,
  values: Float64Array,
  fromUs: number,
  toUs: number,
  columns: number,
): number[] {
  const [first, end] = [firstAtOrAfter(timeUs, fromUs), firstAtOrAfter(timeUs, toUs + 1)];
  const gapUs = Math.max(shortestGapUs, gapFactor * usualStepUs(timeUs, first, end));
  const columnUs = Math.max(1, (toUs - fromUs) / columns);
  const kept: number[] = [];
  let column = -1;
  let lowest = -1;
  let highest = -1;
  const flush = (): void => {
    if (lowest < 0) return;
    kept.push(Math.min(lowest, highest));
    if (lowest !== highest) kept.push(Math.max(lowest, highest));
    lowest = -1;
    highest = -1;
  };
  for (let index = first; index < end; index++) {
    const time = timeUs[index] ?? 0;
    const value = values[index] ?? Number.NaN;
    const step = index > first ? time - (timeUs[index - 1] ?? 0) : 0;
    if (Number.isNaN(value) || step > gapUs) {
      flush();
      if ((kept.at(-1) ?? -1) >= 0) kept.push(-index);
      if (Number.isNaN(value)) continue;
    }
    const here = Math.floor((time - fromUs) / columnUs);
    if (here !== column) {
      flush();
      column = here;
    }
    if (lowest < 0 || value < (values[lowest] ?? 0)) lowest = index;
    if (highest < 0 || value > (values[highest] ?? 0)) highest = index;
  }
  flush();
  return kept;
}

/** Index of the first time at or after `us`. */
export function firstAtOrAfter(timeUs: Float64Array, us: number): number {
  let [low, high] = [0, timeUs.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((timeUs[middle] ?? 0) < us) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Median of the steps in time, of some two hundred of them spread over the range. */
function usualStepUs(timeUs: Float64Array, first: number, end: number): number {
  const stride = Math.max(1, Math.floor((end - first) / 200));
  const steps: number[] = [];
  for (let index = first + 1; index < end; index += stride) steps.push((timeUs[index] ?? 0) - (timeUs[index - 1] ?? 0));
  steps.sort((a, b) => a - b);
  return steps[steps.length >> 1] ?? 0;
}
