import type { Store, TestHeader } from '../record/index.js';

const dayMs = 86_400_000;

/** The bench's own leak against plugged lines, as it is named in a header and on a certificate. */
export type BenchCheck = NonNullable<TestHeader['benchCheck']>;

/**
 * The newest bench check (a test whose procedure is for plugged lines) that is not older than so many days, or null.
 * Its leak is what this bench loses by itself: to be compared in mL/min, never in bar/min, because the volumes differ.
 */
export function newestBenchCheck(store: Store, bench: string, now: Date, days: number): BenchCheck | null {
  const since = new Date(now.getTime() - days * dayMs).toISOString().slice(0, 10);
  for (const test of store.benchChecks(bench, since)) {
    const { header, result } = store.test(test);
    const leaks = (result?.ports ?? []).flatMap((port) => port.stages.flatMap((stage) => stage.leakM3PerS ?? []));
    if (leaks.length > 0) return { test, leakM3PerS: Math.max(0, ...leaks), at: header.startedAt };
  }
  return null;
}
