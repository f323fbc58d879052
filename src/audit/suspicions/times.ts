import type { ClockMark, LedgerLine } from '../../record/index.js';
import { grouped } from './gauge-habits.js';
import type { Credible, Suspicion } from './suspicion.js';

/** When a test was run, by its own header, its own readings and the ledger. */
export interface TestTimes {
  readonly test: string;
  readonly gauge: string;
  readonly technician: string;
  /** Wall clock of the header, milliseconds. */
  readonly startedMs: number;
  /** From its first reading to its last, seconds. */
  readonly lastedS: number;
  /** Its readings came from a gauge at the bench: only then do times of day mean anything. */
  readonly live: boolean;
  readonly started: LedgerLine | undefined;
  readonly sealed: LedgerLine | undefined;
}

const shiftMs = 8 * 3600_000;
/** Clocks that differ by less are no matter. */
const slackMs = 5000;
/** A test whose header differs from the ledger by less was started by a slow hand. */
const startSlackMs = 300_000;
/** A test may lie open overnight; one that lies longer was left. */
const leftOpenMs = 12 * 3600_000;

/** Two tests on one gauge at one time. */
export function overlaps(tests: readonly TestTimes[]): Suspicion[] {
  const live = tests.filter((test) => test.live);
  return [...grouped(live, ({ gauge }) => gauge)].flatMap(([gauge, group]) => {
    const inOrder = [...group].sort((a, b) => a.startedMs - b.startedMs);
    let longest: TestTimes | undefined;
    return inOrder.flatMap((test) => {
      const before = longest;
      if (!before || endMs(test) > endMs(before)) longest = test;
      if (!before || test.startedMs >= endMs(before) - slackMs) return [];
      const overlapS = Math.round((Math.min(endMs(before), endMs(test)) - test.startedMs) / 1000);
      return {
        kind: 'overlap on one gauge' as const,
        tests: [before.test, test.test],
        text: `gauge ${gauge} is in ${before.test} and in ${test.test} for the same {seconds:${overlapS}}`,
        evidence: { gauge, overlapS },
      };
    });
  });
}

const endMs = (test: TestTimes): number => test.startedMs + test.lastedS * 1000;

/** More tests by one person in eight hours than a person can run. */
export function crowdedShifts(tests: readonly TestTimes[], credible: Credible): Suspicion[] {
  const live = tests.filter((test) => test.live);
  return [...grouped(live, ({ technician }) => technician)].flatMap(([technician, group]) => {
    const inOrder = [...group].sort((a, b) => a.startedMs - b.startedMs);
    const found: Suspicion[] = [];
    for (let first = 0; first < inOrder.length; ) {
      const from = inOrder[first]?.startedMs ?? 0;
      const shift = inOrder.filter(({ startedMs }) => startedMs >= from && startedMs < from + shiftMs);
      if (shift.length <= credible.testsAShift) {
        first += 1;
        continue;
      }
      found.push({
        kind: 'too many in a shift',
        tests: shift.map(({ test }) => test),
        text: `${technician} is down for ${shift.length} tests in eight hours; ${credible.testsAShift} are credible`,
        evidence: { technician, tests: shift.length, from: new Date(from).toISOString() },
      });
      first += shift.length;
    }
    return found;
  });
}

/** Live tests that took less time than their readings say, or that are dated otherwise than the ledger knows. */
export function impossibleTimes(tests: readonly TestTimes[]): Suspicion[] {
  return tests.flatMap(({ test, live, started, sealed, lastedS, startedMs }) => {
    if (!live || !started) return [];
    const found: Suspicion[] = [];
    const tookS = sealed ? elapsedMs(started, sealed) / 1000 : Number.POSITIVE_INFINITY;
    if (tookS < lastedS * 0.98 - 2)
      found.push({
        kind: 'quicker than its readings',
        tests: [test],
        text: `${test} holds {seconds:${lastedS}} of readings but was sealed {seconds:${tookS}} after its start`,
        evidence: { lastedS, tookS, started: started.position, sealed: sealed?.position ?? 0 },
      });
    const apartMs = startedMs - Date.parse(started.at);
    if (Math.abs(apartMs) > startSlackMs)
      found.push({
        kind: 'dated otherwise',
        tests: [test],
        text: `${test} says it started {seconds:${Math.abs(apartMs) / 1000}} ${apartMs < 0 ? 'before' : 'after'} the ledger has it`,
        evidence: { apartS: Math.round(apartMs) / 1000, position: started.position },
      });
    return found;
  });
}

/** By the clock that never steps when both lines come from one run of the program, else by the wall clock. */
const elapsedMs = (from: LedgerLine, to: LedgerLine): number =>
  from.session === to.session ? to.monotonicMs - from.monotonicMs : Date.parse(to.at) - Date.parse(from.at);

/** Places where the wall clock was set, or ran backwards from one line of the ledger to the next. */
export function clockSteps(ledger: Iterable<LedgerLine>): Suspicion[] {
  const found: Suspicion[] = [];
  let before: LedgerLine | undefined;
  for (const line of ledger) {
    const wall = before ? Date.parse(line.at) - Date.parse(before.at) : 0;
    const stepMs =
      before?.session === line.session ? wall - (line.monotonicMs - before.monotonicMs) : Math.min(0, wall);
    if (Math.abs(stepMs) > slackMs)
      found.push({
        kind: 'clock step',
        tests: line.test === null ? [] : [line.test],
        text: `the wall clock went ${stepMs < 0 ? 'back' : 'forward'} by {seconds:${Math.abs(stepMs) / 1000}} before ledger line ${line.position}`,
        evidence: { position: line.position, stepS: Math.round(stepMs) / 1000 },
      });
    before = line;
  }
  return found;
}

/** Places within a test where the wall clock was set: by the marks that are kept beside its readings. */
export function stepsWithin(test: string, marks: Iterable<ClockMark>): Suspicion[] {
  const found: Suspicion[] = [];
  let before: ClockMark | undefined;
  for (const mark of marks) {
    const stepMs = before ? Date.parse(mark.at) - Date.parse(before.at) - (mark.monotonicMs - before.monotonicMs) : 0;
    // A resumed test may have been taken up on a computer started anew: then its monotonic clock began again.
    const comparable = before !== undefined && mark.monotonicMs >= before.monotonicMs;
    if (comparable && Math.abs(stepMs) > slackMs)
      found.push({
        kind: 'clock step',
        tests: [test],
        text: `the wall clock went ${stepMs < 0 ? 'back' : 'forward'} by {seconds:${Math.abs(stepMs) / 1000}} during ${test}, at ${mark.at}`,
        evidence: { at: mark.at, stepS: Math.round(stepMs) / 1000 },
      });
    before = mark;
  }
  return found;
}

/** Tests at the bench that were begun and never sealed, though the record went on for half a day after. */
export function neverSealed(
  started: readonly LedgerLine[],
  sealed: ReadonlySet<string>,
  newestAt: string,
): Suspicion[] {
  return started.flatMap((line) => {
    const { test, at, position } = line;
    if (test === null || sealed.has(test) || line.body.origin !== 'live') return [];
    if (Date.parse(newestAt) - Date.parse(at) < leftOpenMs) return [];
    return {
      kind: 'never sealed' as const,
      tests: [test],
      text: `${test} was begun on ${at} and never sealed: it has no verdict`,
      evidence: { position, at },
    };
  });
}
