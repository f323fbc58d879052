import type { LiveEnd } from '../../bench/index.js';
import type { TestResult } from '../../evaluation/index.js';
import type { SealMark } from '../../record/index.js';
import type { UnitSystem } from '../../units/index.js';
import { exitCodes, verdictExit } from '../exit-codes.js';
import { remark, say, sayJson, spellAll } from '../output.js';
import { resultJson } from './result-json.js';
import { resultLines } from './result-text.js';

/** How a test at the bench came out. */
export interface RunOutcome {
  readonly test: string;
  readonly mark: SealMark | null;
  readonly result: TestResult;
  readonly end: LiveEnd;
  /** The trace as a chart of text, where somebody looks on. */
  readonly chart?: readonly string[];
}

/** Says the result, what to do next, and sets the exit code: 5 when the gauge was the reason for the end. */
export function reportOutcome(
  { test, mark, result, end, chart }: RunOutcome,
  options: { readonly findings: readonly unknown[]; readonly system: UnitSystem; readonly json: boolean },
): void {
  const { system } = options;
  if (options.json) {
    const record = mark
      ? { head: mark.head, ledger: mark.ledger, signatures: [], certificates: [], voided: false }
      : null;
    sayJson({ ...resultJson(test, result, record, system), findings: spellAll(options.findings, system) });
  } else {
    for (const line of chart ?? []) say(line);
    for (const line of resultLines(result, system)) say(line);
    say(`Stored as ${test}. Next: dwellmark show ${test}, dwellmark sign ${test}`);
  }
  if (end.gaugeFailure !== null)
    remark(`dwellmark: the gauge was lost: ${end.gaugeFailure}. What came before is kept.`);
  process.exitCode = end.gaugeFailure === null ? verdictExit(result.verdict) : exitCodes.gauge;
}
