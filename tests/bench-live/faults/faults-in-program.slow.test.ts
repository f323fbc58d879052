import { describe, expect, it } from 'vitest';
import type { Verdict } from '../../../src/evaluation/index.js';
import { type FaultCase, faultCases } from './fault-cases.js';
import { runSpoiltProgram, type SpoiltRun } from './faulty-program.js';
import { expectAsSaid, plain, saying } from './spoilt-test.js';

const exits: Readonly<Record<Verdict, number>> = { pass: 0, fail: 1, inconclusive: 3, invalid: 3 };
const marks = { note: '', warn: 'warning: ', alarm: 'ALARM ', void: 'ALARM ' };

/** The events that stand in the record, as a person would read them at the bench. */
const recorded = ({ shown }: SpoiltRun): string =>
  plain(shown.ports.flatMap(({ events }) => events.map(({ grade, text }) => `${marks[grade]}${text}`)));

/** What the record must hold of it, whatever the program said. */
function expectInRecord(run: SpoiltRun, { told }: Pick<FaultCase, 'told'>): void {
  for (const what of told) expect(recorded(run)).toEqual(saying(what));
  expect(run.shown.verdict).toBe(run.result.verdict);
  // Five seconds and more of the test, and none of it was taken back.
  expect(run.acknowledged.length).toBeGreaterThan(100);
  expect(run.trace.slice(0, run.acknowledged.length)).toEqual(run.acknowledged);
}

describe.concurrent('a fault in a test that the program runs', { timeout: 180_000 }, () => {
  // The longest first: the others run beside it.
  it('the plug pulled and never put back: the program ends by itself and says that the gauge was lost', async () => {
    const run = await runSpoiltProgram({ spoil: ({ cable }) => cable.unplug() });
    expectInRecord(run, {
      told: [/ALARM The dwell counts for nothing: the device at \S+ is gone: look at cable and power\. Another/],
    });
    expect(run.codes).toContain('unplugged');
    expect(plain(run.said)).toMatch(/the gauge was lost: no reading for 6\d s\. What came before is kept\./);
    expect(run.result.verdict).toBe('invalid');
    expect(run.problems).toEqual([]);
    expect(run.exit).toBe(5);
  });

  it.each(faultCases.map((one) => [one.name, one] as const))('%s', async (_, faultCase) => {
    const run = await runSpoiltProgram(faultCase);
    expectAsSaid(run, faultCase);
    expectInRecord(run, faultCase);
    expect(run.exit).toBe(exits[run.result.verdict]);
  });
});
