import type { PortName } from '../../src/hydraulics/index.js';
import type { StrokeScript } from './motion/stroking.js';

/**
 * The hand on the valves, as a pure state machine: it sees the dial and the clock and sets the valves.
 * First the strokes, where the script has some. For each stage: pump, pause to change over, booster to a little above the target, shut in and hold; at the end
 * bleed down. An attended script waits where a person would: to begin the port, and to end each hold.
 */
export interface OperatorScript {
  readonly stages: readonly OperatorStage[];
  /** Vented, before anything is done, s: time to take the zero. */
  readonly ventedS: number;
  /** Slow strokes before the first stage, on a bench whose piston can move. */
  readonly strokes?: StrokeScript;
  /** Bleed valve open at the end, s. */
  readonly bleedS: number;
  /** Waits for the commands `begin` and `release`. */
  readonly attended?: boolean;
  /** The pump is throttled to raise no faster than this, Pa/s; absent: full flow. */
  readonly pumpRampPaPerS?: number;
  /** The booster's air is throttled to raise no faster than this, Pa/s. */
  readonly boosterRampPaPerS?: number;
}

export interface OperatorStage {
  readonly targetPa: number;
  /** How far above the target the booster is stopped, as a fraction of it. */
  readonly overshoot: number;
  /** The pump is stopped here and the booster goes on; absent or above the target: the pump does it all. */
  readonly pumpToPa?: number;
  /** Between pump and booster, s. */
  readonly pauseS: number;
  /** Shut in for settling and dwell together, s, unless released or extended by command. */
  readonly holdS: number;
  /** Seconds into the hold at which it is topped up to the overshoot again. */
  readonly topUpAtS?: readonly number[];
  /** Seconds into the hold at which the bleed valve is cracked, for how long. */
  readonly valveMoved?: { readonly atS: number; readonly forS: number; readonly opening: number };
}

export type OperatorCommand =
  /** The lines are on this port: go. Also begins a port again. */
  | { readonly kind: 'begin'; readonly port: PortName }
  /** End the running hold. */
  | { readonly kind: 'release' }
  | { readonly kind: 'extend hold'; readonly byS: number }
  | { readonly kind: 'top up' }
  /** Bleed down now, whatever runs. */
  | { readonly kind: 'stop' };

export type OperatorPhase = 'vented' | 'strokes' | 'pump' | 'pause' | 'booster' | 'hold' | 'bleed' | 'done';

export interface Valves {
  readonly pump: boolean;
  readonly booster: boolean;
  /** 0 shut to 1 fully open. */
  readonly bleed: number;
}

export interface OperatorState {
  readonly phase: OperatorPhase;
  readonly stage: number;
  /** When the phase began, s. */
  readonly sinceS: number;
  /** When the hold is over, s. */
  readonly holdUntilS: number;
  readonly toppingUp: boolean;
  readonly topUpsDone: number;
  readonly begun: boolean;
  readonly released: boolean;
}

const restingValves: Valves = { pump: false, booster: false, bleed: 0 };

/** An operator standing at the bench at time `timeS`, bleed valve open. */
export const operatorAtStart = (timeS: number): OperatorState => ({
  phase: 'vented',
  stage: 0,
  sinceS: timeS,
  holdUntilS: Number.POSITIVE_INFINITY,
  toppingUp: false,
  topUpsDone: 0,
  begun: false,
  released: false,
});

/** What a command from outside changes; the hand acts on it at its next step. */
export function commandOperator(state: OperatorState, command: OperatorCommand, timeS: number): OperatorState {
  switch (command.kind) {
    case 'begin':
      return { ...state, begun: true };
    case 'release':
      return { ...state, released: state.phase === 'hold' };
    case 'extend hold':
      return { ...state, holdUntilS: state.holdUntilS + command.byS };
    case 'top up':
      return { ...state, toppingUp: state.phase === 'hold' };
    case 'stop':
      return state.phase === 'bleed' || state.phase === 'done' ? state : enter(state, 'bleed', timeS);
  }
}

/**
 * One look at the dial: the next state and where the valves stand until the next look.
 * @param seen.pressurePa what the bench's own dial shows
 * @param seen.strokesDone whether the strokes of the script are made
 */
export function operatorStep(
  script: OperatorScript,
  state: OperatorState,
  seen: { readonly timeS: number; readonly pressurePa: number; readonly strokesDone: boolean },
): { readonly state: OperatorState; readonly valves: Valves } {
  const stage = script.stages[state.stage];
  const { timeS, pressurePa } = seen;
  const forS = timeS - state.sinceS;
  if (!stage && state.phase !== 'bleed' && state.phase !== 'done')
    return operatorStep(script, enter(state, 'bleed', timeS), seen);
  switch (state.phase) {
    case 'vented':
      if (forS >= script.ventedS && (!script.attended || state.begun))
        return operatorStep(script, enter(state, script.strokes ? 'strokes' : 'pump', timeS), seen);
      return { state, valves: { ...restingValves, bleed: 1 } };
    case 'strokes':
      if (seen.strokesDone) return operatorStep(script, enter(state, 'pump', timeS), seen);
      return { state, valves: restingValves };
    case 'pump':
      if (stage && pressurePa >= pumpEnd(stage))
        return operatorStep(
          script,
          enter(state, pumpEnd(stage) < stopAt(stage) ? 'pause' : 'hold', timeS, holdEnd(script, stage, timeS)),
          seen,
        );
      return { state, valves: { ...restingValves, pump: true } };
    case 'pause':
      if (stage && forS >= stage.pauseS) return operatorStep(script, enter(state, 'booster', timeS), seen);
      return { state, valves: restingValves };
    case 'booster':
      if (stage && pressurePa >= stopAt(stage))
        return operatorStep(script, enter(state, 'hold', timeS, holdEnd(script, stage, timeS)), seen);
      return { state, valves: { ...restingValves, booster: true } };
    case 'hold':
      return stage ? hold(script, stage, state, seen) : { state, valves: restingValves };
    case 'bleed':
      if (forS >= script.bleedS) return operatorStep(script, enter(state, 'done', timeS), seen);
      // Cracked first, then opened over ten seconds.
      return { state, valves: { ...restingValves, bleed: Math.min(1, 0.1 + forS / 10) } };
    case 'done':
      return { state, valves: { ...restingValves, bleed: 1 } };
  }
}

function hold(
  script: OperatorScript,
  stage: OperatorStage,
  state: OperatorState,
  seen: Parameters<typeof operatorStep>[2],
): ReturnType<typeof operatorStep> {
  const forS = seen.timeS - state.sinceS;
  if (state.released || seen.timeS >= state.holdUntilS) {
    const last = state.stage + 1 >= script.stages.length;
    const next = { ...enter(state, last ? 'bleed' : 'pump', seen.timeS), stage: state.stage + 1 };
    return operatorStep(script, next, seen);
  }
  const due = stage.topUpAtS?.[state.topUpsDone];
  if (due !== undefined && forS >= due)
    return hold(script, stage, { ...state, toppingUp: true, topUpsDone: state.topUpsDone + 1 }, seen);
  if (state.toppingUp) {
    if (seen.pressurePa >= stopAt(stage)) return { state: { ...state, toppingUp: false }, valves: restingValves };
    return { state, valves: { ...restingValves, booster: true } };
  }
  const moved = stage.valveMoved;
  if (moved && forS >= moved.atS && forS < moved.atS + moved.forS)
    return { state, valves: { ...restingValves, bleed: moved.opening } };
  return { state, valves: restingValves };
}

const stopAt = (stage: OperatorStage): number => stage.targetPa * (1 + stage.overshoot);
const pumpEnd = (stage: OperatorStage): number => Math.min(stage.pumpToPa ?? Number.POSITIVE_INFINITY, stopAt(stage));
const holdEnd = (script: OperatorScript, stage: OperatorStage, timeS: number): number =>
  script.attended ? Number.POSITIVE_INFINITY : timeS + stage.holdS;

const enter = (
  state: OperatorState,
  phase: OperatorPhase,
  timeS: number,
  holdUntilS: number = Number.POSITIVE_INFINITY,
): OperatorState => ({ ...state, phase, sinceS: timeS, holdUntilS, toppingUp: false, topUpsDone: 0, released: false });
