import { expect } from 'vitest';
import { verifyStore } from '../../../src/audit/index.js';
import { judgeStored } from '../../../src/bench/index.js';
import type { TestResult } from '../../../src/evaluation/index.js';
import type { GaugeFaultCode, Reading } from '../../../src/gauge/index.js';
import type { RawLine } from '../../../src/record/holds/index.js';
import type { Store } from '../../../src/record/index.js';
import { sleep } from '../../drivers/pty.js';
import { until, withStore } from '../bench-process.js';
import type { FaultCase, Spoiling } from './fault-cases.js';
import type { SentLine } from './talking-gauge.js';

/** A test that is over, and everything it left. */
export interface SpoiltTest {
  readonly result: TestResult;
  /** As the person at the bench read it. */
  readonly said: readonly string[];
  readonly codes: readonly GaugeFaultCode[];
  readonly sent: readonly SentLine[];
  /** The longest time from one line of the gauge to the next, s: this process plays the gauges, and may be held up itself. */
  readonly gaugePausedS: number;
  readonly trace: readonly Reading[];
  readonly rawLines: readonly RawLine[];
  readonly problems: readonly string[];
}

/** Until the middle of the dwell, which counts from the last rise: three of its ten seconds are over when it begins. */
export async function inDwell({ phase }: Spoiling): Promise<void> {
  await until('the dwell', () => phase() === 'dwell');
  await sleep(1000);
}

/** Faults of the gauge that are on disk, in order. */
export const codesIn = (store: Store, test: string): GaugeFaultCode[] =>
  [...store.inputs(test)].flatMap((input) => (input.kind === 'fault' ? [input.fault.code] : []));

/** What stands in the shop's record, and whether it can be verified. */
export const leftInRecord = (
  folder: string,
  test: string,
): Pick<SpoiltTest, 'result' | 'codes' | 'trace' | 'rawLines' | 'problems'> =>
  withStore(folder, (store) => {
    const { result } = store.test(test);
    if (!result) throw new Error('the test was not sealed');
    const problems = verifyStore(store, judgeStored).problems.map((one) => JSON.stringify(one));
    return {
      result,
      codes: codesIn(store, test),
      trace: [...store.trace(test)],
      rawLines: [...store.rawLines(test)],
      problems,
    };
  });

/** What the operator read, blanks that hold figure and unit together as plain ones. */
export const plain = (lines: readonly string[]): string => lines.join('\n').replace(/[\u00a0\u202f]/g, ' ');

/** A text with these words, or one of this shape. */
export const saying = (what: string | RegExp): unknown =>
  typeof what === 'string' ? expect.stringContaining(what) : expect.stringMatching(what);

/** Told as silence from here on: less than the two seconds that five usual intervals are at the least. */
const shortSilenceS = 1;

/** Holds a test to what its fault must have told and come to. */
export function expectAsSaid(test: SpoiltTest, { codes, firstCode, told, verdicts, more }: FaultCase): void {
  // On a computer that is busy lines may come late, which is no fault of this gauge; a silence is one that it made itself.
  const late: readonly GaugeFaultCode[] =
    test.gaugePausedS > shortSilenceS ? ['rate-fallen', 'silent'] : ['rate-fallen'];
  const ofGauge = codes ? test.codes.filter((code) => !late.includes(code)) : test.codes;
  if (codes) expect(ofGauge).toEqual(codes);
  if (firstCode) expect(ofGauge.find((code) => code !== 'rate-fallen')).toBe(firstCode);
  for (const what of told) expect(plain(test.said)).toEqual(saying(what));
  expect(verdicts, test.result.ports[0]?.reason).toContain(test.result.verdict);
  more?.(test);
  nothingLost(test);
}

/** What was sent and could be read is what stands in the record, in order; nothing in it was not sent. */
function nothingLost({ sent, trace, rawLines, problems }: SpoiltTest): void {
  const [, ...whole] = sent.filter(({ pressurePa }) => pressurePa !== undefined);
  const stored = trace.map(({ pressurePa }) => pressurePa);
  expect(stored.length).toBeGreaterThan(200);
  expect(stored).toEqual(whole.slice(0, stored.length).map(({ pressurePa }) => pressurePa));
  // Nothing is missing but what came once the test was over: two seconds below 2 bar, as the procedure asks.
  const low = trace.slice(trace.findLastIndex(({ pressurePa }) => (pressurePa ?? 0) >= 2e5) + 1);
  expect((low.at(-1)?.timeUs ?? 0) - (low[0]?.timeUs ?? 0)).toBeGreaterThanOrEqual(1.9e6);
  expect(rawLines.map(({ text }) => text)).toEqual(sent.slice(0, rawLines.length).map(({ text }) => text));
  expect(rawLines.filter(({ accepted }) => accepted)).toHaveLength(stored.length);
  expect(problems).toEqual([]);
}
