import type { Suspicion } from './suspicion.js';
import type { SketchedTest } from './traces.js';

/** So many tests on a gauge show how it usually behaves. */
const leastTests = 5;
/** A shorter row of the same value is never remarkable. */
const leastRun = 50;

/**
 * Traces that don't behave as their gauge usually does: frozen, smoothed, or with a hole nobody put down. On a gauge whose
 * last digit usually rests, an honest trace rests too when it lies between two digits: nothing can be told there.
 */
export function unlikeTheirGauge(tests: readonly SketchedTest[]): Suspicion[] {
  return [...grouped(tests, ({ gauge }) => gauge).values()].flatMap((group) => {
    const usualRun = median(group.map(({ sketch }) => sketch.longestRun.readings));
    const usualNoise = median(group.map(({ sketch }) => sketch.restlessnessPa));
    const restless = usualNoise > median(group.map(({ sketch }) => sketch.digitPa)) / 2;
    const known = group.length >= leastTests && restless;
    return group.flatMap(({ test, gauge, sketch }) => {
      const found: Suspicion[] = [];
      const { longestRun: run, widestGap: gap } = sketch;
      if (known && run.readings >= leastRun && run.readings > 8 * usualRun)
        found.push({
          kind: 'frozen run',
          tests: [test],
          text: `${test} shows {pressure:${run.pressurePa}} for ${run.readings} readings in a row; the longest such row on gauge ${gauge} is usually ${usualRun}`,
          evidence: { readings: run.readings, fromUs: run.fromUs, usual: usualRun },
        });
      else if (known && sketch.readings > leastRun && sketch.restlessnessPa < usualNoise / 5)
        found.push({
          kind: 'smoother than its gauge',
          tests: [test],
          text: `${test} is smoother than gauge ${gauge} ever was: {difference:${sketch.restlessnessPa}} from reading to reading against {difference:${usualNoise}}`,
          evidence: { restlessnessPa: sketch.restlessnessPa, usualPa: usualNoise },
        });
      if (gap.seconds > Math.max(2, 20 * gap.usualS))
        found.push({
          kind: 'gap',
          tests: [test],
          text: `${test} has a hole of {seconds:${gap.seconds}} with no fault put down in it`,
          evidence: { fromUs: gap.fromUs, seconds: gap.seconds },
        });
      return found;
    });
  });
}

/** Sorts into groups by a name. */
export function grouped<T>(values: Iterable<T>, name: (value: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const value of values) {
    const group = groups.get(name(value));
    if (group) group.push(value);
    else groups.set(name(value), [value]);
  }
  return groups;
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}

/** Readings a print looks at. */
const window = 1024;
/** Bits of a print. */
export const printBits = 256;
/** Fewer readings than this make no print. */
const leastReadings = 150;

/**
 * 256 bits of a trace's noise. The second differences, cut off at three times their usual size so that a ramp's jumps
 * don't speak louder than the noise, are laid on 256 random patterns; each bit is the sign. Two traces whose noise
 * correlates with r differ in about acos(r)/pi of the bits: half of them when they have nothing to do with each other,
 * a quarter at r = 0.7. A copy that was shifted, stretched, tilted or sprinkled with new noise still shows.
 */
export function noisePrint(bends: readonly number[]): Uint32Array | null {
  if (bends.length < leastReadings) return null;
  const row = new Float64Array(window);
  const cut = clip(bends);
  const used = Math.min(window, cut.length);
  for (let index = 0; index < used; index += 1) row[index] = (cut[index] as number) * (pattern[index] as number);
  if (row.every((value) => value === 0)) return null;
  walsh(row);
  const bits = new Uint32Array(printBits / 32);
  for (let bit = 0; bit < printBits; bit += 1)
    if ((row[(bit * 389) % window] as number) > 0) bits[bit >> 5] = (bits[bit >> 5] as number) | (1 << (bit & 31));
  return bits;
}

/** How many bits two prints differ in. */
export function differingBits(a: Uint32Array, b: Uint32Array): number {
  let count = 0;
  for (let index = 0; index < a.length; index += 1) {
    let bits = (a[index] as number) ^ (b[index] as number);
    bits -= (bits >>> 1) & 0x55555555;
    bits = (bits & 0x33333333) + ((bits >>> 2) & 0x33333333);
    count += Math.imul((bits + (bits >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24;
  }
  return count;
}

/** Correlation of two rows, each cut off as in a print; the longer one is cut to the shorter. */
export function correlation(a: readonly number[], b: readonly number[]): number {
  const length = Math.min(a.length, b.length);
  const [x, y] = [clip(a.slice(0, length)), clip(b.slice(0, length))];
  let [xy, xx, yy] = [0, 0, 0];
  for (let index = 0; index < length; index += 1) {
    const [u, v] = [x[index] as number, y[index] as number];
    xy += u * v;
    xx += u * u;
    yy += v * v;
  }
  return xx === 0 || yy === 0 ? 0 : xy / Math.sqrt(xx * yy);
}

function clip(values: readonly number[]): Float64Array {
  const sizes = Float64Array.from(values, Math.abs).sort();
  const limit = 3 * ((sizes[sizes.length >> 1] ?? 0) || (sizes.at(-1) ?? 0) / 3);
  return Float64Array.from(values, (value) => Math.max(-limit, Math.min(limit, value)));
}

/** Plus and minus one in an order without pattern, the same every time (a linear congruential row). */
const pattern = Float64Array.from({ length: window }, (_, index) => {
  let state = (index + 1) >>> 0;
  for (let round = 0; round < 4; round += 1) state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
  return Math.imul(state ^ (state >>> 15), 0x2c1b3c6d) >>> 31 ? 1 : -1;
});

/** Fast Walsh transform in place: all sums and differences of a row of 2^n values. */
function walsh(row: Float64Array): void {
  for (let half = 1; half < row.length; half *= 2)
    for (let start = 0; start < row.length; start += 2 * half)
      for (let index = start; index < start + half; index += 1) {
        const [a, b] = [row[index] as number, row[index + half] as number];
        row[index] = a + b;
        row[index + half] = a - b;
      }
}
