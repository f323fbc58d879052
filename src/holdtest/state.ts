import type { Entry } from './entries.js';
import type { HoldEvent } from './event.js';
import type { LeakObservation, RepeatCause } from './input.js';
import type { RateWindow } from './rate-window.js';
import type { ShutInWatch } from './shut-in.js';
import { freshSignal, type Signal } from './signal.js';
import { freshStrokes, type SeenStroke, type StrokeState } from './strokes/stroke-state.js';

/** Where a hold test stands. Plain JSON: kept, sent and rebuilt as it is. */
export interface HoldState {
  /** Index into the plan's ports; equal to their number when all are done. */
  readonly portIndex: number;
  readonly attempt: number;
  /** Attempts made so far at each port of the plan. */
  readonly attemptsMade: readonly number[];
  readonly stageIndex: number;
  readonly phase: Phase;
  readonly signal: Signal;
  readonly facts: AttemptFacts;
  /** Slow strokes before the hold; untouched where the plan knows of none. */
  readonly strokes: StrokeState;
  /** Alarms that nobody has acknowledged. */
  readonly alarms: readonly HoldEvent[];
}

/** What one attempt at a port has shown beside its stages. */
export interface AttemptFacts {
  readonly repeat: { readonly cause: RepeatCause; readonly reason: string } | null;
  readonly zeroBeforePa: number | null;
  readonly zeroAfterPa: number | null;
  readonly zeroInTolerance: boolean;
  /** After the bleed-down the gauge stood as far from its zero before as its tolerance lets it. */
  readonly zeroKept: boolean;
  /** Greatest pressure at a port that is said to be open, Pa, when there was any. */
  readonly openPortPa: number | null;
  readonly peakPa: number | null;
  readonly overpressure: boolean;
  /** All that a person wrote down; the fields behind it are what stands of it. */
  readonly entries: readonly Entry[];
  readonly observations: readonly LeakObservation[];
  readonly collected: { readonly volumeM3: number; readonly overS: number } | null;
  readonly strokes: number | null;
  readonly oilPumpedM3: number | null;
  readonly inspected: boolean;
  /** Readings left out because they did not follow the one before in time. */
  readonly outOfOrder: number;
}

export type Phase =
  | {
      readonly name: 'ready';
      readonly sinceUs: number | null;
      readonly confirmed: boolean;
      readonly zeroCount: number;
      readonly zeroMeanPa: number;
      /** A steady level below the zero, on its way to be the new one. */
      readonly other: { readonly sinceUs: number; readonly count: number; readonly meanPa: number } | null;
    }
  | {
      readonly name: 'ramp';
      readonly sinceUs: number;
      readonly fromPa: number;
      readonly peakPa: number;
      readonly window: RateWindow;
      readonly tooFast: boolean;
      readonly paused: boolean;
      readonly releasedSinceUs: number | null;
    }
  | {
      readonly name: 'stabilise';
      readonly sinceUs: number;
      readonly window: RateWindow;
      readonly outOfBand: boolean;
      /** Rate when the settling window was first full, Pa/s: with the last one it tells settling from a steady leak. */
      readonly firstRate: number | null;
      /** Why an earlier dwell of this stage counts for nothing; the stage is void unless a whole one follows. */
      readonly spoiled: string | null;
      /** Null after a break in the readings, until the next one. */
      readonly shutIn: ShutInWatch | null;
    }
  | {
      readonly name: 'dwell';
      readonly startUs: number;
      readonly startPa: number;
      readonly forced: boolean;
      /** The demanded time is over; waiting for the inspection to be confirmed. */
      readonly timeDone: boolean;
      readonly fall: { readonly sinceSeconds: number; readonly fromPa: number } | null;
      /** Falls within seconds after which the pressure held again. */
      readonly suddenFalls: number;
      readonly spoiled: string | null;
    }
  | {
      readonly name: 'bleed-down';
      readonly sinceUs: number;
      readonly belowSinceUs: number | null;
      readonly zeroCount: number;
      readonly zeroMeanPa: number;
      /** The mean of the time before, Pa, while the gauge still comes down; null at first. */
      readonly comingFromPa: number | null;
      readonly warned: boolean;
    }
  | { readonly name: 'done' };

/** How a stage ended, for whoever judges it. */
export type StageOutcome =
  | {
      readonly kind: 'full';
      readonly forced: boolean;
      readonly suddenFalls: number;
      /** What of the trace after the dwell belongs to the hold: nothing, all, or up to where the pressure was let go. */
      readonly tail: 'none' | 'all' | 'released';
    }
  /** The operator or the trace ended the dwell before its time. */
  | { readonly kind: 'cut short'; readonly reason: string; readonly forced: boolean }
  /** `lossCounts`: what was lost before stays proven. `released`: void because the pressure was let go. */
  | { readonly kind: 'voided'; readonly reason: string; readonly lossCounts: boolean; readonly released: boolean }
  /** No dwell: did not settle, never reached, released. */
  | { readonly kind: 'no dwell'; readonly verdict: 'inconclusive' | 'invalid'; readonly reason: string };

/** What a step tells the world around the reducer. */
export type HoldEffect =
  | { readonly kind: 'event'; readonly event: HoldEvent }
  | { readonly kind: 'attempt-began'; readonly portIndex: number; readonly attempt: number }
  /** The pressure rose until now: a hold begins here at the earliest. */
  | { readonly kind: 'shut-in'; readonly timeUs: number }
  | {
      readonly kind: 'dwell-began';
      readonly stageIndex: number;
      readonly startUs: number;
    }
  | {
      readonly kind: 'stage-ended';
      readonly stageIndex: number;
      readonly endUs: number;
      readonly outcome: StageOutcome;
    }
  | { readonly kind: 'stroke-seen'; readonly stroke: SeenStroke; readonly number: number }
  | { readonly kind: 'attempt-ended'; readonly facts: AttemptFacts }
  | { readonly kind: 'oil-temperature'; readonly timeUs: number; readonly oilK: number }
  /** `timeUs` is that of the typed temperature. */
  | { readonly kind: 'oil-temperature-taken-back'; readonly timeUs: number };

export interface Stepped {
  readonly state: HoldState;
  readonly effects: readonly HoldEffect[];
}

export const freshFacts: AttemptFacts = {
  repeat: null,
  zeroBeforePa: null,
  zeroAfterPa: null,
  zeroInTolerance: true,
  zeroKept: true,
  openPortPa: null,
  peakPa: null,
  overpressure: false,
  entries: [],
  observations: [],
  collected: null,
  strokes: null,
  oilPumpedM3: null,
  inspected: false,
  outOfOrder: 0,
};

/** The phase of that name, narrowed. */
export type PhaseNamed<Name extends Phase['name']> = Extract<Phase, { name: Name }>;

export const freshReady: PhaseNamed<'ready'> = {
  name: 'ready',
  sinceUs: null,
  confirmed: false,
  zeroCount: 0,
  zeroMeanPa: 0,
  other: null,
};

/** A test before its first reading. `ports` is the number of ports in the plan. */
export const beginHold = (ports: number): HoldState => ({
  portIndex: 0,
  attempt: 1,
  attemptsMade: Array.from({ length: ports }, () => 0),
  stageIndex: 0,
  phase: freshReady,
  signal: freshSignal,
  facts: freshFacts,
  strokes: freshStrokes,
  alarms: [],
});
