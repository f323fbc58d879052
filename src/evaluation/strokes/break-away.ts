import type { SeenStroke, StrokeEnd } from '../../holdtest/index.js';
import type { StrokeDemand, StrokeLimits } from '../../procedure/index.js';
import type { Verdict } from '../result.js';

/** One slow stroke before the hold. Pressures in Pa above the vented zero of the gauge; uncertainties expanded, 95 %. */
export interface StrokeResult {
  readonly number: number;
  /** Port A drives the piston out, port B in. */
  readonly direction: 'out' | 'in';
  readonly startUs: number;
  readonly endUs: number;
  /** How long the gauge stood at zero before, s. */
  readonly restS: number;
  /** Least pressure that started the motion; null when it came too quickly for this gauge to show. */
  readonly breakAwayPa: number | null;
  readonly breakAwayUncertaintyPa: number | null;
  /** Mean level of the run, which keeps the piston moving (drag); null when the run was too short. */
  readonly runningPa: number | null;
  readonly runningUncertaintyPa: number | null;
  /** Standard deviation of the readings about that level. */
  readonly runningSpreadPa: number | null;
  /** The same less the pressure at the other port, where a gauge shows it. */
  readonly runningDifferencePa: number | null;
  readonly runS: number;
  readonly stickSlip: StickSlip;
  readonly end: StrokeEnd;
  readonly shownBy: SeenStroke['shownBy'];
}

/** Slow rises that end in quick falls, over and over, at a constant flow. */
export interface StickSlip {
  readonly seen: 'yes' | 'no' | 'cannot tell';
  /** Mean height of a fall, and its expanded uncertainty. */
  readonly amplitudePa: number | null;
  readonly amplitudeUncertaintyPa: number | null;
  readonly teeth: number;
  readonly periodS: number | null;
  /** The evidence in words, figures as marks. */
  readonly text: string;
}

/** What the strokes of an attempt come to. */
export interface BreakAwayResult {
  readonly wanted: number;
  readonly seen: number;
  /** The highest break-away read, with its uncertainty; null when none could be read. */
  readonly breakAwayPa: number | null;
  readonly breakAwayUncertaintyPa: number | null;
  /** The highest running level, with its uncertainty. */
  readonly runningPa: number | null;
  readonly runningUncertaintyPa: number | null;
  readonly stickSlip: StickSlip['seen'];
  /** In a sentence, figures as marks. */
  readonly text: string;
  /** What departed from the procedure: too few strokes, too short a rest; null when nothing did. */
  readonly deviation: string | null;
}

/**
 * What the strokes of an attempt come to: the highest break-away and running level, whether any stuck and slipped, and
 * what departed from the procedure. Null when there were none and none were asked for.
 */
export function breakAwayOf(strokes: readonly StrokeResult[], demand: StrokeDemand): BreakAwayResult | null {
  if (strokes.length === 0 && demand.wanted === 0) return null;
  const started = highest(strokes, ({ breakAwayPa }) => breakAwayPa);
  const ran = highest(strokes, ({ runningPa }) => runningPa);
  const result = {
    wanted: demand.wanted,
    seen: strokes.length,
    breakAwayPa: started?.breakAwayPa ?? null,
    breakAwayUncertaintyPa: started?.breakAwayUncertaintyPa ?? null,
    runningPa: ran?.runningPa ?? null,
    runningUncertaintyPa: ran?.runningUncertaintyPa ?? null,
    stickSlip: worstSlip(strokes),
  };
  return { ...result, text: textOf(result, strokes), deviation: deviationOf(strokes, demand) };
}

function highest(strokes: readonly StrokeResult[], of: (stroke: StrokeResult) => number | null): StrokeResult | null {
  let most: StrokeResult | null = null;
  for (const stroke of strokes) {
    const pa = of(stroke);
    if (pa !== null && pa > (most ? (of(most) ?? 0) : Number.NEGATIVE_INFINITY)) most = stroke;
  }
  return most;
}

function worstSlip(strokes: readonly StrokeResult[]): StickSlip['seen'] {
  const seen = strokes.map(({ stickSlip }) => stickSlip.seen);
  if (seen.includes('yes')) return 'yes';
  return seen.length === 0 || seen.includes('cannot tell') ? 'cannot tell' : 'no';
}

function textOf(result: Omit<BreakAwayResult, 'text' | 'deviation'>, strokes: readonly StrokeResult[]): string {
  const [first] = strokes;
  if (!first) return 'no slow stroke was seen';
  const { breakAwayPa, breakAwayUncertaintyPa, runningPa, runningUncertaintyPa, seen } = result;
  const many = seen === 1 ? `1 slow stroke ${first.direction}` : `${seen} slow strokes ${first.direction}`;
  const most = seen === 1 ? '' : ' at most';
  const broke =
    breakAwayPa === null
      ? 'the pressure came too quickly for this gauge to show where the piston broke away'
      : `broke away at {pressure:${breakAwayPa}} ± {difference:${breakAwayUncertaintyPa}}${most}`;
  const ran =
    runningPa === null
      ? 'too short to tell what keeps it moving'
      : `kept moving by {pressure:${runningPa}} ± {difference:${runningUncertaintyPa}}${most}`;
  return `${many}: ${broke}, ${ran}; ${slipText(strokes, result.stickSlip)}`;
}

function slipText(strokes: readonly StrokeResult[], worst: StickSlip['seen']): string {
  if (worst === 'no') return 'no stick-slip';
  const shown = strokes.find(({ stickSlip }) => stickSlip.seen === worst);
  const evidence = shown ? ` (stroke ${shown.number}: ${shown.stickSlip.text})` : '';
  return worst === 'yes' ? `stick-slip${evidence}` : `stick-slip can't be told${evidence}`;
}

function deviationOf(strokes: readonly StrokeResult[], { wanted, restS }: StrokeDemand): string | null {
  if (wanted === 0) return null;
  const few =
    strokes.length < wanted
      ? `${strokes.length === 0 ? 'no' : strokes.length} slow stroke${strokes.length === 1 ? '' : 's'} seen before the hold of ${wanted} asked for`
      : null;
  const short = strokes.filter((stroke) => stroke.restS < restS);
  const hasty =
    short.length === 0
      ? null
      : `stroke ${short.map(({ number }) => number).join(', ')} after less than {seconds:${restS}} at zero`;
  const all = [few, hasty].filter((text) => text !== null);
  return all.length === 0 ? null : all.join('; ');
}

/** What the procedure's own limits make of it; a verdict only where it typed who set them. */
export function strokeGrounds(
  result: BreakAwayResult | null,
  limits: StrokeLimits | undefined,
): readonly { readonly verdict: Verdict; readonly reason: string }[] {
  if (!limits) return [];
  const { breakAwayMaxPa, dragMaxPa, source } = limits;
  return [
    ...held('break-away', result?.breakAwayPa ?? null, result?.breakAwayUncertaintyPa ?? null, breakAwayMaxPa, source),
    ...held('drag', result?.runningPa ?? null, result?.runningUncertaintyPa ?? null, dragMaxPa, source),
  ];
}

function held(
  what: string,
  pa: number | null,
  u: number | null,
  maxPa: number | undefined,
  source: string,
): readonly { readonly verdict: Verdict; readonly reason: string }[] {
  if (maxPa === undefined) return [];
  const bound = `{pressure:${maxPa}} is allowed (${source})`;
  if (pa === null || u === null)
    return [{ verdict: 'inconclusive', reason: `no ${what} could be read from the strokes; ${bound}` }];
  const found = `${what} {pressure:${pa}} ± {difference:${u}}; ${bound}`;
  if (pa - u > maxPa) return [{ verdict: 'fail', reason: found }];
  return pa + u > maxPa ? [{ verdict: 'inconclusive', reason: `${found}: too close to it` }] : [];
}
