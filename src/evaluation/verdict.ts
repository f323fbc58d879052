import type { DwellContext } from './context.js';
import { acceptance, type GoverningLimit } from './decision.js';
import type { Verdict } from './result.js';

/** What a verdict is drawn from. Drops in Pa, positive for a fall. */
export interface VerdictInput {
  readonly context: DwellContext;
  readonly dwellS: number;
  readonly cutShort: boolean;
  readonly startPa: number;
  readonly endPa: number;
  readonly dropPa: number;
  readonly dropUncertaintyPa: number;
  /** Expanded uncertainty of the drop when a leak limit governs: volume and stiffness count then. */
  readonly leakDropUncertaintyPa: number;
  readonly limit: GoverningLimit | null;
}

export interface VerdictWords {
  readonly verdict: Verdict;
  readonly reason: string;
}

/**
 * How many expanded uncertainties a rise must exceed before it stops a pass: 1.5, so that noise alone does it in
 * about one hold of 300.
 */
export const riseFactor = 1.5;

/** The verdict on one dwell, and one sentence that says why. Fails come first, then doubts, then the pass. */
export function verdictOf(input: VerdictInput): VerdictWords {
  return levelFailure(input) ?? decayVerdict(input);
}

function levelFailure({ context, startPa, endPa }: VerdictInput): VerdictWords | null {
  const { stage, port } = context;
  const highest = Math.max(startPa, endPa);
  const lowest = Math.min(startPa, endPa);
  if (highest > port.overpressurePa)
    return broken(
      `The pressure stood at {pressure:${highest}}, above the {pressure:${port.overpressurePa}} it must never pass.`,
    );
  if (stage.neverBelowPa !== undefined && lowest < stage.neverBelowPa)
    return fail(
      `The pressure fell to {pressure:${lowest}}, below the {pressure:${stage.neverBelowPa}} it must keep during the dwell.`,
    );
  return null;
}

function decayVerdict(input: VerdictInput): VerdictWords {
  const { context, dwellS, cutShort, startPa, limit } = input;
  const { stage } = context;
  const scale = cutShort ? 1 : stage.dwellS / dwellS;
  const drop = input.dropPa * scale;
  const ownU = limit?.limit.kind === 'leak' ? input.leakDropUncertaintyPa : input.dropUncertaintyPa;
  const u = ownU * scale;
  const fell = `${drop < 0 ? 'Rose' : 'Fell'} {difference:${Math.abs(drop)}} ± {difference:${u}} in {seconds:${cutShort ? dwellS : stage.dwellS}}`;
  const bound = limit ? `{difference:${limit.allowedDropPa}} is allowed` : '';
  if (limit && drop - u > limit.allowedDropPa) return fail(`${fell}; ${bound}.`);
  if (cutShort)
    return doubt(
      `The dwell was ended after {seconds:${dwellS}} of {seconds:${stage.dwellS}}; a shorter hold can't pass.`,
    );
  const floor = stage.targetPa - stage.belowPa - context.gauge.resolutionPa;
  if (startPa < floor)
    return doubt(
      `The dwell began at {pressure:${startPa}}, below the band of the test pressure {pressure:${stage.targetPa}}.`,
    );
  if (drop < -riseFactor * u)
    return doubt(`${fell}: something warmed or fed the trapped oil, and a leak can hide behind a rise.`);
  if (!limit) return { verdict: 'pass', reason: `${fell}; the procedure sets no limit for it.` };
  if (limit.allowedDropPa < u)
    return doubt(`${fell}; ${bound}, and less than {difference:${u}} can't be told from nothing in this dwell.`);
  const words = acceptance(stage.decision, drop, u, limit.allowedDropPa);
  if (words === 'pass') return { verdict: 'pass', reason: `${fell}; ${bound}.` };
  if (words === 'fail') return fail(`${fell}; ${bound}.`);
  return doubt(`${fell}; ${bound}: too close to the limit for this uncertainty.`);
}

const fail = (reason: string): VerdictWords => ({ verdict: 'fail', reason });
const broken = (reason: string): VerdictWords => ({ verdict: 'invalid', reason });
const doubt = (reason: string): VerdictWords => ({ verdict: 'inconclusive', reason });
