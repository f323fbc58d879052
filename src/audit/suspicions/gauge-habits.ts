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
