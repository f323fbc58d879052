import type { HoldEvent, LeakObservation, RepeatCause } from '../holdtest/index.js';
import type { OppositePort, PistonPosition, PortName } from '../hydraulics/index.js';
import type { AllowedDecay, CollectedDemand, DecisionRule } from '../procedure/index.js';
import type { Pressure, PressureDifference } from '../units/index.js';
import type { BreakAwayResult, StrokeResult } from './strokes/break-away.js';

export type Verdict = 'pass' | 'fail' | 'inconclusive' | 'invalid';

/**
 * The outcome of a whole test. Property names are the outside JSON contract; numbers in SI with the unit in the
 * name. A figure that could not be had is null.
 */
export interface TestResult {
  /** Version of the evaluation that computed this; a replay with the same version gives the same bits. */
  readonly evaluationVersion: string;
  readonly verdict: Verdict;
  readonly ports: readonly PortResult[];
}

/** One port: its last attempt decides; every attempt stays. */
export interface PortResult {
  readonly port: PortName;
  readonly attempt: number;
  /** Why this attempt was made, when it is not the first. */
  readonly repeat: { readonly cause: RepeatCause; readonly reason: string } | null;
  readonly verdict: Verdict;
  readonly reason: string;
  readonly position: PistonPosition;
  readonly opposite: OppositePort;
  readonly covers: readonly string[];
  readonly notCovered: readonly string[];
  readonly stages: readonly StageResult[];
  readonly stiffness: StiffnessResult;
  /** Slow strokes seen before the hold, in order, and what they come to; absent where the plan knew of none. */
  readonly strokes?: readonly StrokeResult[];
  readonly breakAway?: BreakAwayResult | null;
  readonly zeroBeforePa: Pressure | null;
  readonly zeroAfterPa: Pressure | null;
  /** Greatest pressure seen in the attempt. */
  readonly peakPa: Pressure | null;
  readonly observations: readonly LeakObservation[];
  /** Oil caught at the opposite port, m3/s, and how it compares with V/K dp/dt. */
  readonly collected: {
    readonly leakM3PerS: number;
    /** Absent, as `text`, in older results. */
    readonly volumeM3?: number;
    readonly overS: number;
    readonly agrees: boolean | null;
    /** The two beside each other, and what a difference means. */
    readonly text?: string;
    /** What the procedure allows, and the verdict of the cup; absent where it does not decide. */
    readonly limit?: CollectedDemand;
    readonly verdict?: Verdict;
  } | null;
  readonly events: readonly HoldEvent[];
  /** Earlier attempts at this port, oldest first. */
  readonly earlierAttempts: readonly PortResult[];
}

/** Is the cylinder really there, and is it full of oil? */
export interface StiffnessResult {
  readonly verdict: 'agrees' | 'too-stiff' | 'too-soft' | 'not-checked';
  /** Apparent volume over stiffness seen on the ramp, m3/Pa, or null. */
  readonly seenM3PerPa: number | null;
  readonly expectedM3PerPa: number | null;
  /** Free air at atmosphere that would explain the bow of the ramp, fraction of the volume, or null. */
  readonly airFraction: number | null;
  readonly text: string;
  /** What the rise looks like, in one word for programs. */
  readonly finding?: StiffnessFinding;
  /** Free air that this rise would have shown in 95 of 100 cases, fraction of the volume; null when it shows none. */
  readonly airDetectable?: number | null;
  /** How the oil was known; null when it was not. */
  readonly oilKnownBy?: 'measured' | 'strokes' | 'steps' | 'flow' | null;
  /** Strokes of a booster or hand pump that the rise shows as steps, and their usual height, Pa; absent: it shows none. */
  readonly strokesSeen?: { readonly count: number; readonly heightPa: number };
  /** What the hold can say of the piston seal when the other port is not open; null or absent otherwise. */
  readonly pistonSeal?: PistonSealWord | null;
}

export type StiffnessFinding =
  /** As planned. */
  | 'cylinder'
  /** As much as hose and fittings alone take: the cylinder's valve is shut, or there is no cylinder. */
  | 'line alone'
  /** Less than that: a valve is shut before the hose. */
  | 'less than the line'
  /** Between line and cylinder: another volume. */
  | 'smaller volume'
  | 'free air'
  | 'more oil'
  | 'past the piston'
  /** How much oil went in is not known, or would not tell the cylinder from its line. */
  | 'not known';

export interface PistonSealWord {
  readonly seen: 'cannot be seen' | 'joined' | 'apart';
  readonly text: string;
}

export interface StageResult {
  readonly name: string;
  readonly verdict: Verdict;
  /** One clause for a person, to stand after a colon: lower case, no full stop. */
  readonly reason: string;
  readonly targetPa: Pressure;
  readonly startPa: Pressure | null;
  readonly endPa: Pressure | null;
  /** Expanded uncertainty (k = 2) of a pressure level: calibration, class and resolution; never that of the drop. */
  readonly levelUncertaintyPa: PressureDifference;
  readonly dwellS: number | null;
  readonly demandedDwellS: number;
  /** Monotonic times of the dwell, microseconds. */
  readonly dwellStartUs: number | null;
  readonly dwellEndUs: number | null;
  readonly readings: number;
  /** Positive for a falling pressure, after temperature correction where there is one. */
  readonly dropPa: PressureDifference | null;
  /** Expanded, 95 %. */
  readonly dropUncertaintyPa: PressureDifference | null;
  readonly coverageFactor: number | null;
  readonly ratePaPerS: number | null;
  readonly rateUncertaintyPaPerS: number | null;
  readonly temperatureCorrected: boolean;
  /** The part of the raw fall that the oil's cooling explains; null when no temperature is known. */
  readonly thermalDropPa: PressureDifference | null;
  /** Change of oil temperature that would explain the whole drop, K. */
  readonly temperatureToExplainK: number | null;
  readonly leakM3PerS: number | null;
  readonly leakUncertaintyM3PerS: number | null;
  /** How far the rod drifts in 10 min for that leak, m; absent: no piston, or no leak could be told. */
  readonly rodDriftM?: number;
  /** The governing limit as a drop over the demanded dwell. */
  readonly allowedDropPa: PressureDifference | null;
  readonly governingLimit: AllowedDecay | null;
  readonly decision: DecisionRule;
  /** Which drop was held against the limit: the loss with heat and creep taken out, or the plain one; absent before evaluation 5. */
  readonly judged?: 'leak' | 'plain drop';
  /** Fall from start to end as the gauge read it. */
  readonly plainDropPa?: PressureDifference | null;
  /** Of that, what heat of compression and creep took, by the course itself; null where they were not looked for. */
  readonly settlingDropPa?: PressureDifference | null;
  readonly smallestResolvableDropPa: PressureDifference | null;
  readonly budget: readonly BudgetLine[];
  readonly diagnosis: Diagnosis | null;
  readonly flags: readonly EvaluationFlag[];
}

/** A line of the uncertainty budget of the drop or of the leak rate (GUM). */
export interface BudgetLine {
  readonly of: 'drop' | 'leak' | 'level';
  readonly name: string;
  /** Standard uncertainty in the unit of the quantity (Pa, m3/s). */
  readonly u: number;
  readonly degreesOfFreedom: number | null;
  readonly distribution: 'normal' | 'rectangular' | 't';
  readonly basis: string;
}

export type DiagnosisShape = 'steady' | 'settling' | 'step' | 'thermal' | 'noisy' | 'quantised' | 'none';

export interface Diagnosis {
  readonly shape: DiagnosisShape;
  /** `can't tell` is shape `none`. 0 to 1: weight of this shape among those tried. */
  readonly strength: number;
  readonly likely: readonly string[];
  readonly tryNext: readonly string[];
}

export interface EvaluationFlag {
  readonly code:
    | 'spikes'
    | 'second-opinion-differs'
    | 'correlated-noise'
    | 'few-readings'
    | 'coarse-resolution'
    | 'heat-of-compression'
    | 'probe-does-not-follow'
    | 'fall-stopped'
    | 'sped-up'
    | 'not-seen'
    | 'temperature-not-measured'
    | 'temperature-not-the-cause'
    | 'limit-below-resolution'
    | 'bench-leak'
    | 'below-test-pressure'
    | 'above-limit'
    | 'not-one-line'
    | 'stages-compared'
    | 'left-out'
    | 'rising'
    | 'cut-short';
  readonly text: string;
  readonly count?: number;
}
