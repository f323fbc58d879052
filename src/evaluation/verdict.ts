import type { DwellContext } from './context.js';
import type { Fed } from './course/fed.js';
import { acceptance, type GoverningLimit } from './decision.js';
import type { DecayEstimate } from './estimate.js';
import type { Verdict } from './result.js';

/** What a verdict is drawn from. Drops in Pa, positive for a fall. */
export interface VerdictInput {
  readonly context: DwellContext;
  readonly dwellS: number;
  readonly cutShort: boolean;
  readonly estimate: DecayEstimate;
  /** Expanded uncertainty of the drop when a leak limit governs, against that of the drop alone: volume and stiffness count then. */
  readonly leakUPerDropU: number;
  /** Lowest and highest reading, noise allowed for, Pa. */
  readonly lowestPa: number;
  readonly highestPa: number;
  /** Falls within seconds after which the pressure held again. */
  readonly suddenFalls: number;
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

/** The verdict on one dwell, and one clause that says why (it begins in lower case and has no full stop). Fails come first, then doubts, then the pass. */
export function verdictOf(input: VerdictInput): VerdictWords {
  return levelFailure(input) ?? decayVerdict(input);
}

function levelFailure({ context, estimate, lowestPa, highestPa }: VerdictInput): VerdictWords | null {
  const { stage, port } = context;
  const highest = Math.max(estimate.startPa, estimate.endPa, highestPa);
  const lowest = Math.min(estimate.startPa, estimate.endPa, lowestPa);
  if (highest > port.overpressurePa)
    return broken(
      `the pressure stood at {pressure:${highest}}, above the {pressure:${port.overpressurePa}} it must never pass`,
    );
  if (stage.neverBelowPa !== undefined && lowest < stage.neverBelowPa)
    return fail(
      `the pressure fell to {pressure:${lowest}}, below the {pressure:${stage.neverBelowPa}} it must keep during the dwell`,
    );
  return null;
}

/** A loss that is proven stays a fail; then what spoils the dwell; then what leaves it open; a pass is what remains. */
function decayVerdict(input: VerdictInput): VerdictWords {
  const { context, dwellS, cutShort, estimate, limit } = input;
  const { stage } = context;
  const { judged } = estimate;
  const lengthS = judged.toS - judged.fromS;
  const scale = cutShort ? 1 : Math.min(1, stage.dwellS / lengthS);
  const drop = judged.dropPa * scale;
  const u = judged.expandedU * scale * (limit?.limit.kind === 'leak' ? input.leakUPerDropU : 1);
  const told = tell(drop, u, lengthS * scale, limit, context);
  const bounded = `${told.found}; ${told.bound}`;
  const { fed } = estimate;
  const allowedPa = limit?.allowedDropPa ?? Number.POSITIVE_INFINITY;
  const unresolved = allowedPa < u;
  const words = acceptance(unresolved ? 'guarded' : stage.decision, drop, u, allowedPa);
  const fails = words === 'fail';
  if (input.suddenFalls === 1 && !(fails && drop - u - suddenOf(estimate) > allowedPa))
    return broken('the pressure fell within seconds and then held, as if a valve was moved');
  if (fed && !(fails && !byTyped(estimate))) return broken(fedWords(fed));
  if (!limit) return cutShort ? tooShort(dwellS, stage.dwellS) : byLooking(input, told.found);
  if (fails) return byTyped(estimate) ? doubt(`${bounded}, but the oil temperature was only typed`) : fail(bounded);
  if (cutShort) return tooShort(dwellS, stage.dwellS);
  const floor = stage.targetPa - stage.belowPa - context.gauge.resolutionPa;
  if (estimate.shutInPa < floor)
    return doubt(
      `the dwell began at {pressure:${estimate.shutInPa}}, below the band of the test pressure {pressure:${stage.targetPa}}`,
    );
  if (drop < -riseFactor * u)
    return doubt(`${told.found}: something warmed or fed the trapped oil, and a leak can hide behind a rise`);
  const open = openQuestion(estimate, limit.allowedDropPa, stage.dwellS);
  if (open !== null) return doubt(`${bounded}, but ${open}`);
  if (unresolved) return doubt(`${bounded}, and less than ${told.u} can't be told from nothing in this dwell`);
  if (words === 'pass') return { verdict: 'pass', reason: bounded };
  return doubt(`${bounded}: too close to the limit for this uncertainty`);
}

const tooShort = (dwellS: number, demandedS: number): VerdictWords =>
  doubt(`the dwell was ended after {seconds:${dwellS}} of {seconds:${demandedS}}; a shorter hold can't pass`);

/** No drop is allowed or forbidden: the time and the level are what the readings can say. */
export function byLooking(
  { context, dwellS, lowestPa }: Pick<VerdictInput, 'context' | 'dwellS' | 'lowestPa'>,
  found: string,
): VerdictWords {
  const { stage, gauge } = context;
  if (lowestPa < stage.targetPa - stage.belowPa - gauge.resolutionPa)
    return doubt(
      `the pressure fell to {pressure:${lowestPa}}, below the band of the test pressure {pressure:${stage.targetPa}}: raise it and hold again`,
    );
  const held = `held {seconds:${dwellS}} at no less than {pressure:${lowestPa}}`;
  return { verdict: 'pass', reason: `${held}, judged by looking${found === '' ? '' : ` (${found})`}` };
}

const byTyped = ({ thermal }: DecayEstimate): boolean => thermal?.source === 'typed' && thermal.dropPa < 0;

/** The part of the loss that came within seconds, Pa: what a valve may have let go. */
const suddenOf = ({ series, falls }: DecayEstimate): number => {
  let most = falls.reduce((greatest, { byPa }) => Math.max(greatest, byPa), 0);
  for (let i = 1; i < series.y.length; i++) most = Math.max(most, (series.y[i - 1] ?? 0) - (series.y[i] ?? 0));
  return most;
};

function fedWords({ byPa, atS, strokes }: Fed): string {
  return strokes
    ? `the pressure was kept up by small strokes of about {difference:${byPa}}, as a pump makes them`
    : `the pressure rose by {difference:${byPa}} after {seconds:${atS}}, more than warming can do, as if oil was fed in`;
}

/** Means of the first and last seconds miss a little of a steep fall: so much of the limit may be left over. */
const unaccountedShare = 0.25;

/** What leaves a passing mean open, in words; null when nothing does. */
function openQuestion(estimate: DecayEstimate, allowedPa: number, dwellS: number): string | null {
  const { thermal, lastRate, speedUpPaPerS, plainDropPa } = estimate;
  const { withoutProbe, unaccountedPa, judged } = estimate;
  if (unaccountedPa > judged.expandedU + unaccountedShare * allowedPa)
    return `{difference:${unaccountedPa}} of the fall that the gauge read belongs to nothing that explains the rest of it`;
  const twice = withoutProbe !== null && withoutProbe.dropPa + withoutProbe.expandedU <= allowedPa;
  if (thermal && Math.abs(thermal.dropPa) > allowedPa && !twice)
    return `the correction for oil temperature, {difference:${thermal.dropPa}}, is larger than the allowed drop itself`;
  if (thermal?.source === 'typed' && plainDropPa > allowedPa)
    return 'only the typed oil temperatures bring it below the limit';
  if ((lastRate.paPerS - lastRate.expandedU) * dwellS > allowedPa)
    return `in its last fifth it fell at {rate:${lastRate.paPerS}}, which is more than the limit allows`;
  if (speedUpPaPerS > 0)
    return 'the fall sped up during the hold, which a steady leak, heat and creep never do: a leak began or grew, or oil was fed in before';
  return null;
}

/** What was found and what is allowed, in the terms of the limit: a drop, a rate or a leak. */
interface Told {
  readonly found: string;
  readonly u: string;
  readonly bound: string;
}

function tell(dropPa: number, uPa: number, overS: number, limit: GoverningLimit | null, { port }: DwellContext): Told {
  const moved = `${dropPa < 0 ? 'rose' : 'fell'} {difference:${Math.abs(dropPa)}}`;
  const over = `in {seconds:${overS}}`;
  switch (limit?.limit.kind) {
    case 'leak': {
      const perPa = port.trapped.volumeM3 / port.trapped.bulkModulusPa / overS;
      const u = `{flow:${uPa * perPa}}`;
      const found = `leaks {flow:${dropPa * perPa}} ± ${u} (${moved} ± {difference:${uPa}} ${over})`;
      return { found, u, bound: `{flow:${limit.limit.leakM3PerS}} is allowed` };
    }
    case 'rate': {
      const u = `{rate:${uPa / overS}}`;
      const found = `${dropPa < 0 ? 'rises' : 'falls'} by {rate:${Math.abs(dropPa) / overS}} ± ${u} (${moved} ± {difference:${uPa}} ${over})`;
      return { found, u, bound: `{rate:${limit.limit.ratePaPerS}} is allowed` };
    }
    default: {
      const u = `{difference:${uPa}}`;
      const bound = limit === null ? '' : `{difference:${limit.allowedDropPa}} is allowed`;
      return { found: `${moved} ± ${u} ${over}`, u, bound };
    }
  }
}

const fail = (reason: string): VerdictWords => ({ verdict: 'fail', reason });
const broken = (reason: string): VerdictWords => ({ verdict: 'invalid', reason });
const doubt = (reason: string): VerdictWords => ({ verdict: 'inconclusive', reason });
