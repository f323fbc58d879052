import type { PortName } from '../hydraulics/index.js';
import type { Pressure, PressureDifference, TemperatureDifference } from '../units/index.js';
import type { DecisionRule } from './plan-types.js';
import type { BoreRow } from './reading/by-bore.js';

/** A test procedure as read from its file. Figures that hang on the cylinder (rated pressure) are not yet numbers. */
export interface Procedure {
  readonly id: string;
  readonly title: string;
  readonly revision: string;
  /** Who set the limits; printed. */
  readonly source: string;
  /** What it is for, in a sentence or two; empty when not stated. */
  readonly purpose: string;
  /** `plugged lines`: a bench check, made with the lines plugged and no cylinder on them. */
  readonly subject: 'cylinder' | 'plugged lines';
  /** The ports it wants held, in this order; empty: whatever the job says. */
  readonly ports: readonly PortName[];
  readonly stages: readonly ProcedureStage[];
  readonly limits: {
    readonly overpressure: Level;
    /** Level at the opposite port that gives a warning; null: the rated pressure. */
    readonly opposite: Level | null;
    /** How far the vented gauge may stand from zero; null: follows from the gauge. */
    readonly zeroPa: PressureDifference | null;
    /** Bound of an oil temperature change that nobody measures; null: the program's own. */
    readonly unmeasuredTemperatureK: TemperatureDifference | null;
    /** Oil that may come out at the open port; null: what is collected does not decide. */
    readonly collected: CollectedLimit | null;
  };
  readonly bleedDown: { readonly belowPa: Pressure; readonly forS: number };
  /** Slow strokes before the hold, from which break-away and drag are read; null: none are asked for. */
  readonly strokes: ProcedureStrokes | null;
  readonly attempts: number;
  readonly dropsPerMl: number;
  /** Steps before the first pressure, in order. */
  readonly prepare: readonly string[];
  /** Steps after the last bleed-down, in order. */
  readonly finish: readonly string[];
}

export interface ProcedureStrokes {
  readonly wanted: number;
  /** The gauge stands at zero so long before each. */
  readonly restS: number;
  /** What decides; null when the procedure only wants them read. */
  readonly limits: {
    readonly breakAwayMax: Level | null;
    readonly dragMax: Level | null;
    readonly source: string;
  } | null;
}

export interface ProcedureStage {
  readonly name: string;
  /** The ports this stage is for; empty: all. */
  readonly ports: readonly PortName[];
  readonly target: Level;
  readonly below: Level;
  readonly above: Level;
  readonly voidAbove: Level | null;
  readonly neverBelow: Level | null;
  readonly rampMaxPaPerS: number;
  readonly stabilise: { readonly ratePaPerS: number; readonly forS: number; readonly giveUpAfterS: number };
  readonly dwellS: number;
  /** Empty: no figure decides but time and level, and somebody looks. */
  readonly allowed: readonly DecayLimit[];
  readonly decision: DecisionRule;
  /** Held against the limit: the loss by leaks, or the plain drop of a pressure that has settled. */
  readonly judge: 'leak' | 'plain drop';
  /** Steps before this stage's pressure is raised. */
  readonly prepare: readonly string[];
  /** What to look at during the dwell. */
  readonly look: readonly string[];
}

/** A pressure as its author wrote it: a pressure, or a share of something the job or the procedure gives. */
export type Level =
  | { readonly of: 'itself'; readonly pa: number; readonly text: string }
  /** Of the cylinder's rated pressure. */
  | { readonly of: 'rated'; readonly fraction: number; readonly text: string }
  /** Of the test pressure: the highest stage target. */
  | { readonly of: 'test'; readonly fraction: number; readonly text: string }
  /** Of this stage's own target. */
  | { readonly of: 'target'; readonly fraction: number; readonly text: string };

export type DecayLimit =
  | { readonly kind: 'drop'; readonly dropPa: number; readonly source: string }
  | { readonly kind: 'percent'; readonly fraction: number; readonly source: string }
  | { readonly kind: 'rate'; readonly ratePaPerS: number; readonly source: string }
  | { readonly kind: 'leak'; readonly leakM3PerS: number; readonly source: string }
  | { readonly kind: 'leak by bore'; readonly rows: readonly BoreRow<number>[]; readonly source: string };

/** Oil collected over a time, in millilitres or in drops; with `lessThan` that amount is already too much. */
export type CollectedAmount = ({ readonly volumeM3: number } | { readonly drops: number }) & {
  readonly overS: number;
  readonly lessThan?: true;
};

export interface CollectedLimit {
  readonly rows: readonly BoreRow<CollectedAmount>[];
  readonly source: string;
}
