import type { Store, TestHeader } from '../record/index.js';

/** How many of the newest passed tests are looked through for a bench check. */
const lookedThrough = 500;
const dayMs = 86_400_000;

/** The bench's own leak against plugged lines, as it is named in a header and on a certificate. */
export type BenchCheck = NonNullable<TestHeader['benchCheck']>;

/**
 * The newest bench check (a test whose procedure is for plugged lines) that is not older than so many days, or null.
 * Its leak is what this bench loses by itself: to be compared in mL/min, never in bar/min, because the volumes differ.
 */
export function newestBenchCheck(store: Store, bench: string, now: Date, days: number): BenchCheck | null {
  const since = new Date(now.getTime() - days * dayMs).toISOString().slice(0, 10);
  for (const line of store.tests({ since, limit: lookedThrough })) {
    if (line.verdict === null || line.voided) continue;
    const { header, result } = store.test(line.test);
    if (header.plan.procedure.subject !== 'plugged lines' || header.bench !== bench) continue;
    const leaks = (result?.ports ?? []).flatMap((port) => port.stages.flatMap((stage) => stage.leakM3PerS ?? []));
    if (leaks.length > 0) return { test: line.test, leakM3PerS: Math.max(0, ...leaks), at: header.startedAt };
  }
  return null;
}
