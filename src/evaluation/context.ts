import type { Correction, GaugeSpec, PortPlan, StagePlan } from '../procedure/index.js';
import type { Rise } from './course/explanations.js';
import type { StageResult } from './result.js';

/** All that the evaluation of one dwell must know besides its readings. */
export interface DwellContext {
  readonly stage: StagePlan;
  readonly port: PortPlan;
  readonly gauge: GaugeSpec;
  /** By which levels are corrected, never drops; absent or empty: not at all. */
  readonly corrections?: readonly Correction[];
  /** Half-width of the oil temperature change that nobody measured, over the dwell, K. */
  readonly unmeasuredTemperatureK: number;
  /** Leak of the bench itself against plugged lines, m3/s; null when there is no valid check. */
  readonly benchCheckLeakM3PerS: number | null;
  /** Who set that bound; absent: the program. */
  readonly boundBy?: 'program' | 'procedure' | 'job';
  /** How the pressure was brought up, times before the start of the trace, when it was seen. */
  readonly rises?: readonly Rise[];
  readonly previousStages: readonly StageResult[];
  readonly dropsPerMl: number;
}

/** What can be said while the dwell still runs. */
export interface EarlyWord {
  /** The drop over the demanded dwell at the present rate, Pa, and its expanded uncertainty as of now. */
  readonly dropPa: number | null;
  readonly bandPa: number | null;
  readonly ratePaPerS: number | null;
  readonly word:
    | 'pass likely'
    | 'fail likely'
    | 'cannot tell yet'
    | 'certain to fail'
    | 'judged by looking'
    | 'cannot pass';
  /** Why it cannot pass, whatever the pressure does from here on. */
  readonly because?: string;
  /** Time until a clear verdict at the present rate, s; 0 when it is clear, null when no time in sight makes it so. */
  readonly secondsForClearVerdict: number | null;
}
