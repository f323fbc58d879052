import { correlation, differingBits, grouped, printBits } from './gauge-habits.js';
import type { Suspicion } from './suspicion.js';
import { type Pressures, type Shingle, secondDifferences, shingleSteps, type TraceSketch } from './trace-sketch.js';

/** A sealed test and what was kept of its trace. */
export interface SketchedTest {
  readonly test: string;
  readonly gauge: string;
  readonly sketch: TraceSketch;
}

/** Shared rows at one and the same distance that make a copy. */
const leastShared = 3;
/** Independent traces differ in 128 of 256 bits, standard deviation 8. */
const mostDiffering = 90;
const leastCorrelation = 0.5;

/**
 * Traces that are equal, or that share a stretch, or whose noise is the same. Equal ones are told together, and the first
 * of them stands for all of them against the others; each other pair is told once.
 */
export function alikeTraces(tests: readonly SketchedTest[], read: (test: string) => Pressures): Suspicion[] {
  const equal = [...grouped(withReadings(tests), ({ sketch }) => sketch.pressures).values()];
  const pairs = new Map<string, Suspicion>();
  const tell = (a: SketchedTest, b: SketchedTest, suspicion: Omit<Suspicion, 'tests'>): void => {
    const key = `${a.test}\u0000${b.test}`;
    if (!pairs.has(key)) pairs.set(key, { ...suspicion, tests: [a.test, b.test] });
  };
  const first = equal.flatMap(([one]) => one ?? []);
  for (const { a, b, shared, from, to } of sharedStretches(first))
    tell(a, b, {
      kind: 'nearly the same trace',
      text: `${a.test} and ${b.test} move step by step alike over a stretch`,
      evidence: { sharedRows: shared, stepsInARow: shingleSteps, fromReading: from, inTheOtherFromReading: to },
    });
  for (const { a, b, end, bits } of alikePrints(first)) {
    const [x, y] = [a, b].map(({ test }) => secondDifferences(read(test).pressuresPa));
    if (!x || !y) continue;
    const r = end ? correlation(x.reverse(), y.reverse()) : correlation(x, y);
    if (r >= leastCorrelation)
      tell(a, b, {
        kind: 'nearly the same trace',
        text: `the noise of ${a.test} and of ${b.test} is the same: correlation ${r.toFixed(2)}`,
        evidence: {
          correlation: Number(r.toFixed(4)),
          differingBits: bits,
          ofBits: printBits,
          countedFrom: end ? 'end' : 'start',
        },
      });
  }
  return [...equal.flatMap(sameTrace), ...pairs.values()];
}

/** A stretch that comes twice in one trace: patched over. */
export function repeatedStretches(tests: readonly SketchedTest[]): Suspicion[] {
  return tests.flatMap(({ test, sketch }) => {
    const places = new Map<number, number>();
    const distances = new Map<number, { count: number; at: number }>();
    for (const { hash, at } of sketch.shingles) {
      const before = places.get(hash);
      if (before === undefined) places.set(hash, at);
      else if (at - before >= shingleSteps) {
        const seen = distances.get(at - before);
        distances.set(at - before, { count: (seen?.count ?? 0) + 1, at: seen?.at ?? at });
      }
    }
    const [distance, seen] = [...distances].sort(([, a], [, b]) => b.count - a.count)[0] ?? [];
    if (distance === undefined || !seen || seen.count < leastShared) return [];
    return {
      kind: 'repeated stretch' as const,
      tests: [test],
      text: `${test} moves step by step as it did ${distance} readings before`,
      evidence: { fromReading: seen.at, asFromReading: seen.at - distance, sharedRows: seen.count },
    };
  });
}

const withReadings = (tests: readonly SketchedTest[]): SketchedTest[] =>
  tests.filter(({ sketch }) => sketch.readings > 0);

/** Tests that hold one and the same row of pressures. */
function sameTrace(group: readonly SketchedTest[]): Suspicion[] {
  const [first] = group;
  if (!first || group.length < 2) return [];
  const names = group.map(({ test }) => test);
  const { readings, pressures } = first.sketch;
  return [
    {
      kind: 'same trace',
      tests: names,
      text: `${names.slice(0, -1).join(', ')} and ${names.at(-1)} hold the same ${readings} pressures, one after the other`,
      evidence: { readings, pressuresSha256: pressures },
    },
  ];
}

interface SharedStretch {
  readonly a: SketchedTest;
  readonly b: SketchedTest;
  readonly shared: number;
  readonly from: number;
  readonly to: number;
}

function* sharedStretches(tests: readonly SketchedTest[]): Iterable<SharedStretch> {
  const byHash = new Map<number, { test: SketchedTest; at: number }[]>();
  for (const test of tests) {
    const found = new Map<string, SharedStretch>();
    for (const shingle of test.sketch.shingles) collect(byHash, test, shingle, found);
    for (const stretch of found.values()) if (stretch.shared >= leastShared) yield stretch;
    for (const { hash, at } of test.sketch.shingles) {
      const holders = byHash.get(hash);
      if (!holders) byHash.set(hash, [{ test, at }]);
      else if (holders.length < 20) holders.push({ test, at });
    }
  }
}

function collect(
  byHash: ReadonlyMap<number, readonly { test: SketchedTest; at: number }[]>,
  b: SketchedTest,
  { hash, at }: Shingle,
  found: Map<string, SharedStretch>,
): void {
  for (const { test: a, at: before } of byHash.get(hash) ?? []) {
    const key = `${a.test}\u0000${at - before}`;
    const seen = found.get(key);
    found.set(key, seen ? { ...seen, shared: seen.shared + 1 } : { a, b, shared: 1, from: before, to: at });
  }
}

function* alikePrints(
  tests: readonly SketchedTest[],
): Iterable<{ a: SketchedTest; b: SketchedTest; end: boolean; bits: number }> {
  const printed = tests.filter(({ sketch }) => sketch.print !== null);
  for (const end of [false, true]) {
    const prints = printed.map(({ sketch }) => (end ? sketch.print?.fromEnd : sketch.print?.fromStart) as Uint32Array);
    for (let i = 1; i < prints.length; i += 1)
      for (let j = 0; j < i; j += 1) {
        const bits = differingBits(prints[i] as Uint32Array, prints[j] as Uint32Array);
        if (bits <= mostDiffering) yield { a: printed[j] as SketchedTest, b: printed[i] as SketchedTest, end, bits };
      }
  }
}
