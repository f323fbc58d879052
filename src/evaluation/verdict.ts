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
  /** Greatest rise above the running minimum within the dwell, Pa. */
  readonly drawUpPa: number;
  /** Lowest and highest reading, noise allowed for, Pa. */
  readonly lowestPa: number;
  readonly highestPa: number;
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

/** A rise within the dwell stops a pass from so many expanded uncertainties on, and from this share of the allowed drop. */
const drawUpFactor = 3;
const drawUpShare = 0.25;

/** The verdict on one dwell, and one clause that says why (it begins in lower case and has no full stop). Fails come first, then doubts, then the pass. */
export function verdictOf(input: VerdictInput): VerdictWords {
  return levelFailure(input) ?? decayVerdict(input);
}

function levelFailure({ context, startPa, endPa, lowestPa, highestPa }: VerdictInput): VerdictWords | null {
  const { stage, port } = context;
  const highest = Math.max(startPa, endPa, highestPa);
  const lowest = Math.min(startPa, endPa, lowestPa);
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

function decayVerdict(input: VerdictInput): VerdictWords {
  const { context, dwellS, cutShort, startPa, limit } = input;
  const { stage } = context;
  const scale = cutShort ? 1 : stage.dwellS / dwellS;
  const drop = input.dropPa * scale;
  const ownU = limit?.limit.kind === 'leak' ? input.leakDropUncertaintyPa : input.dropUncertaintyPa;
  const u = ownU * scale;
  const told = tell(drop, u, cutShort ? dwellS : stage.dwellS, limit, context);
  const bounded = `${told.found}; ${told.bound}`;
  if (limit && drop - u > limit.allowedDropPa) return fail(bounded);
  if (cutShort)
    return doubt(
      `the dwell was ended after {seconds:${dwellS}} of {seconds:${stage.dwellS}}; a shorter hold can't pass`,
    );
  const floor = stage.targetPa - stage.belowPa - context.gauge.resolutionPa;
  if (startPa < floor)
    return doubt(
      `the dwell began at {pressure:${startPa}}, below the band of the test pressure {pressure:${stage.targetPa}}`,
    );
  if (drop < -riseFactor * u)
    return doubt(`${told.found}: something warmed or fed the trapped oil, and a leak can hide behind a rise`);
  const rise = input.drawUpPa;
  if (rise > drawUpFactor * u && rise > drawUpShare * (limit?.allowedDropPa ?? 0))
    return doubt(
      `the pressure rose by {difference:${rise}} within the dwell: something fed or warmed the trapped oil, and a leak can hide behind a rise`,
    );
  if (!limit) return { verdict: 'pass', reason: `${told.found}; the procedure sets no limit for it` };
  if (limit.allowedDropPa < u)
    return doubt(`${bounded}, and less than ${told.u} can't be told from nothing in this dwell`);
  const words = acceptance(stage.decision, drop, u, limit.allowedDropPa);
  if (words === 'pass') return { verdict: 'pass', reason: bounded };
  if (words === 'fail') return fail(bounded);
  return doubt(`${bounded}: too close to the limit for this uncertainty`);
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
      const found = `leaks {flow:${dropPa * perPa}} ± ${u} (${moved} ${over})`;
      return { found, u, bound: `{flow:${limit.limit.leakM3PerS}} is allowed` };
    }
    case 'rate': {
      const u = `{rate:${uPa / overS}}`;
      const found = `${dropPa < 0 ? 'rises' : 'falls'} by {rate:${Math.abs(dropPa) / overS}} ± ${u} (${moved} ${over})`;
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
