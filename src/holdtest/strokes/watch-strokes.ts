import { gaugeOf, portOf, report, stageOf, type Turn } from '../turn.js';
import { beginStroke, comePa, type StrokeBounds, strokeOn, strokeSeen } from './recognise.js';
import type { OpenStroke, SeenStroke, StrokeEnd, StrokeState } from './stroke-state.js';

/** Back at zero for so long, the pressure is let go. */
const letGoUs = 2e6;

/**
 * Looks for slow strokes before the hold, beside the phases and without moving them: pressure that comes from zero,
 * runs level far below the test pressure while the piston moves, and is let go or goes on. Only where the plan knows
 * of strokes, and only until the first dwell of an attempt.
 */
export function watchStrokes(turn: Turn, pressurePa: number): void {
  const port = portOf(turn.plan, turn.state);
  const { phase, strokes } = turn.state;
  if (!port?.strokes || turn.state.stageIndex > 0) return;
  if (phase.name === 'dwell' || phase.name === 'bleed-down' || phase.name === 'done') return;
  const { open } = strokes;
  if (open) return onOpen(turn, open, pressurePa);
  const { resolutionPa } = gaugeOf(turn);
  const vented = phase.name === 'ready' && phase.zeroCount > 0 ? phase.zeroMeanPa : turn.state.facts.zeroBeforePa;
  const zeroPa = strokes.zeroPa ?? vented ?? 0;
  const noisePa = Math.max(0.886 * turn.state.signal.roughnessPa, resolutionPa / Math.sqrt(12));
  const aboveZeroPa = pressurePa - zeroPa;
  if (aboveZeroPa < comePa(noisePa, resolutionPa)) {
    if (strokes.zeroSinceUs === null) setStrokes(turn, { zeroSinceUs: turn.timeUs });
    return;
  }
  const restS = strokes.zeroSinceUs === null ? null : (turn.timeUs - strokes.zeroSinceUs) / 1e6;
  // A gauge that has not yet been seen at rest has no zero to rise from.
  if (restS === null || restS < 1 || aboveZeroPa > port.strokes.belowPa) return;
  const from = { fromUs: turn.timeUs, restS, zeroPa, noisePa, confirmed: phase.name === 'ready' && phase.confirmed };
  setStrokes(turn, { zeroPa, zeroSinceUs: null, open: beginStroke(from, turn.timeUs, aboveZeroPa) });
}

function onOpen(turn: Turn, before: OpenStroke, pressurePa: number): void {
  const port = portOf(turn.plan, turn.state);
  const { resolutionPa } = gaugeOf(turn);
  const pa = pressurePa - before.zeroPa;
  if (pa > (port?.strokes?.belowPa ?? 0)) return closeStroke(turn, before, 'went on');
  if (pa < comePa(before.noisePa, resolutionPa)) {
    const lowSinceUs = before.lowSinceUs ?? turn.timeUs;
    if (turn.timeUs - lowSinceUs >= letGoUs) return closeStroke(turn, before, 'let go');
    setStrokes(turn, { open: { ...before, lowSinceUs } });
    return;
  }
  setStrokes(turn, { open: { ...strokeOn(before, turn.timeUs, pa, resolutionPa), lowSinceUs: null } });
}

function closeStroke(turn: Turn, open: OpenStroke, how: 'let go' | 'went on'): void {
  const { strokes } = turn.state;
  const endUs = open.lowSinceUs ?? turn.timeUs;
  const stroke = strokeSeen(open, how, endUs, boundsOf(turn));
  setStrokes(turn, {
    seen: strokes.seen + (stroke ? 1 : 0),
    open: null,
    zeroSinceUs: how === 'let go' ? endUs : null,
    last: { endUs, stroke: stroke !== null, confirmed: open.confirmed },
  });
  if (how === 'went on' && !open.confirmed) warnUnconfirmed(turn);
  if (!stroke) return;
  const number = strokes.seen + 1;
  report(turn, 'stroke', 'note', strokeText(stroke, number, wantedOf(turn)));
  turn.effects.push({ kind: 'stroke-seen', stroke, number });
}

const endWords: Readonly<Record<StrokeEnd, string>> = {
  'end stop': 'to its stop',
  'let go': 'and was let go',
  'went on': 'to its stop, and on into the test',
};

function strokeText({ topPa, levelPa, topUs, runToUs, end }: SeenStroke, number: number, wanted: number): string {
  const of = wanted > 0 ? ` of ${wanted}` : '';
  const ran = `ran at about {pressure:${levelPa}} for {seconds:${(runToUs - topUs) / 1e6}} ${endWords[end]}`;
  return `Slow stroke ${number}${of}: moved from about {pressure:${topPa}}, ${ran}.`;
}

const wantedOf = (turn: Turn): number => portOf(turn.plan, turn.state)?.strokes?.wanted ?? 0;

/** Strokes are made before the lines are confirmed; what goes on into the test is not. */
function warnUnconfirmed(turn: Turn): void {
  if (turn.plan.attendance === 'attended' && wantedOf(turn) > 0)
    report(turn, 'phase', 'warn', 'The pressure rose before the lines were confirmed.');
}

/** A rise that may be one of the strokes asked for needs no confirmed lines. */
export const mayBeStroke = (turn: Turn): boolean => wantedOf(turn) > 0 && turn.state.strokes.open !== null;

/** The pressure that came and went in this ramp was a stroke: how the lines stood before it; null when it was none. */
export function confirmedBeforeStroke(turn: Turn, rampSinceUs: number): boolean | null {
  const { last } = turn.state.strokes;
  return last?.stroke && last.endUs > rampSinceUs ? last.confirmed : null;
}

function boundsOf(turn: Turn): StrokeBounds {
  const stage = stageOf(turn.plan, turn.state);
  return {
    resolutionPa: gaugeOf(turn).resolutionPa,
    intervalUs: turn.state.signal.intervalUs ?? 1e6,
    stageFromPa: stage ? stage.targetPa - stage.belowPa : Number.POSITIVE_INFINITY,
  };
}

/** Before the first dwell: a stroke that went on is over, and what the procedure asks for has been made or is missing. */
export function strokesBeforeDwell(turn: Turn): void {
  const { open } = turn.state.strokes;
  if (open) closeStroke(turn, open, 'went on');
  const wanted = wantedOf(turn);
  const { seen } = turn.state.strokes;
  if (turn.state.stageIndex > 0 || seen >= wanted) return;
  const made = seen === 0 ? 'No slow stroke was' : `${seen} slow ${seen === 1 ? 'stroke was' : 'strokes were'}`;
  report(turn, 'strokes-missing', 'warn', `${made} seen before the hold; the procedure asks for ${wanted}.`);
}

const setStrokes = (turn: Turn, change: Partial<StrokeState>): void => {
  turn.state = { ...turn.state, strokes: { ...turn.state.strokes, ...change } };
};
