import type { HeatOfHold, OppositePort, PistonPosition, PortName, TrappedOil } from '../hydraulics/index.js';
import type { Pressure, PressureDifference, TemperatureDifference } from '../units/index.js';
import type { GaugeSpec, OilProbeSpec } from './gauge-spec.js';

/**
 * A plan is a job and a procedure made into numbers: all that the phases and the evaluation need, SI inside, plain
 * JSON, kept in the record's header so that a replay starts from the same figures.
 */
export interface TestPlan {
  readonly format: 'dwellmark plan 1';
  readonly procedure: ProcedureIdentity;
  /** The gauge at the port under test, where that port names none of its own. */
  readonly gauge: GaugeSpec;
  /** An instrument of its own for the oil temperature; absent: the gauge gives it, or nobody does. */
  readonly oilProbe?: OilProbeSpec;
  /** Levels are corrected by the tables of the calibrations; absent: the tables are only listed (plans of version 0.1). */
  readonly corrections?: 'applied';
  readonly ports: readonly PortPlan[];
  /** How the phases move on: `attended` waits for the operator where it matters, `unattended` reads it off the trace. */
  readonly attendance: 'attended' | 'unattended';
  /** How many times one port may be tried, the first included. */
  readonly attemptsCap: number;
  /** Drops in a millilitre, for people who count drops. */
  readonly dropsPerMl: number;
  /** A stated bound for an oil temperature change that nobody measured, half-width over a dwell, kelvins. */
  readonly unmeasuredTemperatureK: TemperatureDifference;
  /** Who set that bound; absent in plans of evaluation 4 and before. */
  readonly boundBy?: 'program' | 'procedure' | 'job';
}

export interface ProcedureIdentity {
  readonly id: string;
  readonly title: string;
  readonly revision: string;
  /** Who set the limits. */
  readonly source: string;
  /** SHA-256 of the procedure file's bytes, hex. */
  readonly sha256: string;
  /** The shipped template with the same id has these same bytes; false for an edited copy. */
  readonly asShipped: boolean;
  /** A bench check, made with the lines plugged and no cylinder on them; absent for a cylinder. */
  readonly subject?: 'plugged lines';
}

/** One port's hold: which port, how the cylinder stands, what is trapped, and the stages. */
export interface PortPlan {
  readonly port: PortName;
  readonly position: PistonPosition;
  readonly opposite: OppositePort;
  /** The rod is held from outside, wherever the piston stands. */
  readonly restrained?: true;
  /** Rated pressure of this chamber, where the job states one of its own. */
  readonly ratedPa?: Pressure;
  /** The gauge at this port while it is under test; absent: the plan's. */
  readonly gauge?: GaugeSpec;
  /** A gauge of its own at the opposite port; absent: none, or the gauge gives both pressures. */
  readonly oppositeGauge?: GaugeSpec;
  readonly trapped: TrappedOil;
  /** Area on which this port's oil pushes the piston, m2: a leak over it is a drift of the rod. Absent: plugged lines, old plans. */
  readonly pistonAreaM2?: number;
  /** How heat of compression leaves the oil shut in; absent in plans of evaluation 4 and before. */
  readonly heat?: HeatOfHold;
  readonly stages: readonly StagePlan[];
  /** Above this the gauge must never read; an alarm and a failed demand. */
  readonly overpressurePa: Pressure;
  /** Pressure at the opposite port above which the program warns, when it carries a gauge. */
  readonly oppositeLimitPa: Pressure;
  /** The vented gauge must read within this of zero. */
  readonly zeroTolerancePa: PressureDifference;
  readonly bleedDown: { readonly belowPa: Pressure; readonly forS: number };
  /** Oil that may come out at the open port; absent: what is collected does not decide. */
  readonly collected?: CollectedDemand;
  /** Slow strokes before the hold, from which break-away and drag are read; absent in plans that knew of none. */
  readonly strokes?: StrokeDemand;
  /** Parts this hold loads and parts it says nothing about, in the trade's words. */
  readonly covers: readonly string[];
  readonly notCovered: readonly string[];
  /** The stiffness check of the hold (is the cylinder really there?), or why it can't be made. */
  readonly stiffness: StiffnessDemand;
}

/** What the cup at the open port may hold, as the procedure has it for this bore. */
export interface CollectedDemand {
  /** At most so much, m3; drops at the plan's drops in a millilitre. */
  readonly volumeM3: number;
  /** As counted, where the procedure counts drops. */
  readonly drops?: number;
  readonly overS: number;
  /** That amount is already too much. */
  readonly lessThan?: true;
  readonly source: string;
}

/** Slow strokes before the hold: what the procedure asks for, and up to where a pressure may be one. */
export interface StrokeDemand {
  /** 0: it asks for none; what is seen is read all the same. */
  readonly wanted: number;
  /** The gauge stands at zero so long before each. */
  readonly restS: number;
  /** A running piston stays below this; a pressure above it is on its way to the test pressure. */
  readonly belowPa: Pressure;
  /** Only where the procedure types who set them: without limits no stroke ever moves a verdict. */
  readonly limits?: StrokeLimits;
}

export interface StrokeLimits {
  /** The least pressure that starts motion must not be more than this. */
  readonly breakAwayMaxPa?: Pressure;
  /** The pressure that keeps it in motion must not be more than this. */
  readonly dragMaxPa?: Pressure;
  readonly source: string;
}

/** What pressing this port up should take, so that a shut valve or a pocket of air shows. */
export interface StiffnessDemand {
  /** Pump or booster delivery, m3/s, when the bench states it; the rise alone is judged when absent. */
  readonly flowM3PerS?: number;
  /** At that delivery the pressure would rise faster than the plan allows: a part of it leaves over a valve. */
  readonly flowAtMost?: true;
  /** Oil for one booster stroke, m3. */
  readonly strokeM3?: number;
  /** Oil the volume needs from zero to the target of the last stage, m3, with its standard uncertainty. */
  readonly oilM3: number;
  readonly oilUM3: number;
  /** Free air that the job admits, at the atmosphere, as a share of the volume; absent: none. Its oil is in `oilM3`. */
  readonly airFraction?: number;
  /** Oil that hose and fittings alone would take: a shut valve, no cylinder. Absent: the line's volume is not stated. */
  readonly line?: { readonly oilM3: number; readonly oilUM3: number };
}

export interface StagePlan {
  readonly name: string;
  readonly targetPa: Pressure;
  /** The dwell may start at target - below and must not pass target + above. */
  readonly belowPa: PressureDifference;
  readonly abovePa: PressureDifference;
  /** Above this a low-pressure stage is void and starts again from zero; absent: no such rule. */
  readonly voidAbovePa?: Pressure;
  readonly rampMaxPaPerS: number;
  readonly stabilise: { readonly ratePaPerS: number; readonly forS: number; readonly giveUpAfterS: number };
  readonly dwellS: number;
  /** Several: the strictest governs. Empty: time, level and an inspection decide. */
  readonly allowed: readonly AllowedDecay[];
  readonly decision: DecisionRule;
  /** What is held against the limit; absent: the loss by leaks, with heat of compression and creep taken out. */
  readonly judge?: 'plain drop';
  /** During the dwell the level must not fall below this, when the procedure demands it. */
  readonly neverBelowPa?: Pressure;
  /** What to look at during the dwell. */
  readonly look: readonly string[];
}

export type DecisionRule = 'simple' | 'guarded';

/** A limit as its author wrote it, in SI. */
export type AllowedDecay =
  | { readonly kind: 'drop'; readonly dropPa: PressureDifference; readonly source: string }
  /** Fraction of the pressure at the start of the dwell. */
  | { readonly kind: 'percent'; readonly fraction: number; readonly source: string }
  | { readonly kind: 'rate'; readonly ratePaPerS: number; readonly source: string }
  | { readonly kind: 'leak'; readonly leakM3PerS: number; readonly source: string };

/** Something that speaks against a test, or for the record. `stop` must be overruled by a named person to go on. */
export interface Finding {
  readonly grade: 'stop' | 'warn' | 'note';
  /** Stable name, e.g. `gauge-range`, `intensification`. */
  readonly code: string;
  readonly port?: PortName;
  readonly stage?: string;
  /** One sentence with the figure, the limit and its source. */
  readonly text: string;
}
