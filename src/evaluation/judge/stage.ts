import type { StageOutcome } from '../../holdtest/index.js';
import type { DwellContext } from '../context.js';
import { type Dwell, stageNotReached } from '../dwell.js';
import type { StageResult } from '../result.js';

/** The result of a stage from how it ended. */
export function judgeStage(
  context: DwellContext,
  dwell: Dwell | null,
  endUs: number,
  outcome: StageOutcome,
): StageResult {
  switch (outcome.kind) {
    case 'no dwell':
      return stageNotReached(context, outcome.verdict, outcome.reason);
    case 'voided':
      return (
        dwell?.finish({ ...outcome, endUs, cutShort: true, voided: outcome.reason }) ??
        stageNotReached(context, 'invalid', outcome.reason)
      );
    case 'cut short': {
      const judged = dwell?.finish({ endUs, cutShort: true, voided: null });
      if (!judged) return stageNotReached(context, 'inconclusive', outcome.reason);
      if (judged.verdict === 'fail') return { ...judged, reason: `${judged.reason} (${outcome.reason})` };
      const verdict = judged.verdict === 'pass' ? 'inconclusive' : judged.verdict;
      return { ...judged, verdict, reason: `${outcome.reason}: a shorter hold can't pass` };
    }
    case 'full': {
      const { suddenFalls, tail } = outcome;
      const judged = dwell?.finish({ endUs, cutShort: false, voided: null, suddenFalls, tail });
      if (!judged) return stageNotReached(context, 'inconclusive', 'no dwell was recorded');
      if (!outcome.forced || judged.verdict !== 'pass') return judged;
      const reason = `the dwell was forced before the pressure had settled, so it can't pass; ${judged.reason}`;
      return { ...judged, verdict: 'inconclusive', reason };
    }
    default:
      return outcome satisfies never;
  }
}
