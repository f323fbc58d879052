import type { OppositePort, PistonPosition, PortName, ThrustBearer, TrappedOil } from '../../hydraulics/index.js';
import type { Pressure, PressureDifference, TemperatureDifference } from '../../units/index.js';
import type { AllowedDecay, CollectedDemand, DecisionRule, StrokeDemand } from '../plan-types.js';
import type { BenchReach } from './bench-reach.js';

/** What a test will need, in SI, plain JSON: what `plan --json` prints and `planLines` turns into words. */
export interface PlanFigures {
  readonly format: 'dwellmark plan figures 1';
  readonly workOrder: string;
  readonly cylinder: string;
  readonly procedure: string;
  readonly subject: 'cylinder' | 'plugged lines';
  readonly gauge: GaugeFigures;
  /** The instruments beside it, each with what it gives; absent: there is none. */
  readonly others?: readonly {
    readonly serial: string;
    readonly gives: string;
    readonly calibrationDue: string | null;
  }[];
  readonly assumed: Assumed;
  readonly dropsPerMl: number;
  /** What restrains the rod bears so much, N; absent: not stated. */
  readonly rodEndN?: number;
  readonly ports: readonly PortFigures[];
}

export interface GaugeFigures {
  readonly serial: string;
  readonly rangeLowPa: Pressure;
  readonly rangeHighPa: Pressure;
  readonly resolutionPa: PressureDifference;
  /** Half-width, from the class. */
  readonly accuracyPa: PressureDifference;
  /** Half-width over a dwell: the gauge's own drift and hysteresis. */
  readonly stabilityPa: PressureDifference;
  readonly calibrationDue: string | null;
}

/** What the plan had to take for granted. */
export interface Assumed {
  readonly readingsPerS: number;
  /** Standard deviation of one reading, Pa. */
  readonly noisePa: PressureDifference;
  /** Half-width over a dwell, K. */
  readonly unmeasuredTemperatureK: TemperatureDifference;
  readonly airFraction: number;
}

export interface PortFigures {
  readonly port: PortName;
  readonly position: PistonPosition;
  readonly opposite: OppositePort;
  readonly covers: readonly string[];
  readonly notCovered: readonly string[];
  /** What the reader of the result must know of this hold, a sentence each. */
  readonly remarks: readonly string[];
  /** The highest stage target. */
  readonly testPa: Pressure;
  readonly overpressurePa: Pressure;
  /** What the cup at the open port may hold; absent: it does not decide. */
  readonly collected?: CollectedDemand;
  /** Slow strokes before the hold; absent where there is no piston. */
  readonly strokes?: StrokeDemand;
  /** Of the chamber under test. */
  readonly ratedPa: Pressure;
  /** 1.2 x the test pressure (common practice, no source), and never above the maximum of this test. */
  readonly reliefWantedPa: Pressure;
  readonly bench: BenchReach;
  readonly trapped: TrappedOil;
  /** Oil from zero to the test pressure, and what comes back on bleed-down. Standard uncertainty. */
  readonly oilM3: number;
  readonly oilUM3: number;
  /** The same pumped in too quickly for its heat to leave: the oil is stiffer then. */
  readonly oilQuickM3: number;
  /** Oil to fill chamber and lines before any pressure, and how long the pump takes for it; null: its flow is not stated. */
  readonly fillM3: number;
  readonly fillS: number | null;
  readonly boosterStrokes: number | null;
  readonly pumpS: number | null;
  /** Energy stored at the test pressure. */
  readonly storedOilJ: number;
  readonly storedAirJ: number;
  /** Force on the rod at the test pressure; what holds a restrained rod must bear it. */
  readonly rodForceN: number;
  readonly rodRestrained: boolean;
  /** What bears it; null: nothing is said to. */
  readonly thrustOn: ThrustBearer | null;
  /** What the opposite port sees when it is closed; null when it is open or there is none. */
  readonly oppositePa: Pressure | null;
  /** What the retract rings of a double-acting telescopic cylinder can see inside, port B open or not; absent: no such. */
  readonly ringsPa?: Pressure;
  /** Warming of the oil when pumped up too fast for heat to leave, and the fall once that heat has left. */
  readonly heatOfCompressionK: TemperatureDifference;
  readonly heatFallPa: PressureDifference;
  readonly stages: readonly StageFigures[];
}

export interface StageFigures {
  readonly name: string;
  readonly targetPa: Pressure;
  readonly lowPa: Pressure;
  readonly highPa: Pressure;
  readonly voidAbovePa: Pressure | null;
  readonly neverBelowPa: Pressure | null;
  readonly rampS: number;
  readonly stabiliseForS: number;
  readonly giveUpAfterS: number;
  readonly dwellS: number;
  /** Full scale of the gauge over the target. */
  readonly gaugeRatio: number;
  readonly decision: DecisionRule;
  /** A dwell that is judged by its loss counts from the last rise: settling is a part of it. */
  readonly judge: 'leak' | 'plain drop';
  /** The limit that governs; null, as all that follows from it: time, level and an inspection decide. */
  readonly governing: AllowedDecay | null;
  /** The governing limit as a fall over the dwell. */
  readonly allowedDropPa: PressureDifference | null;
  readonly allowedLeakM3PerS: number | null;
  /** Expanded (k = 2): the least fall and the least leak that this dwell can tell from none. */
  readonly smallestDropPa: PressureDifference;
  /** The same with the oil temperature logged. */
  readonly smallestDropKnownTemperaturePa: PressureDifference;
  readonly smallestLeakM3PerS: number;
  /** The dwell at which a cylinder with half the allowed decay can still pass; null when no dwell up to a day does. */
  readonly dwellNeededS: number | null;
  /** Oil temperature change that looks like the whole allowed decay. */
  readonly temperatureForLimitK: TemperatureDifference | null;
  /** Smallest resolvable against dwell time. */
  readonly resolvable: readonly { readonly dwellS: number; readonly dropPa: number; readonly leakM3PerS: number }[];
}
