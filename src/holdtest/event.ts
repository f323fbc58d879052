import type { PortName } from '../hydraulics/index.js';
import type { PhaseName } from './input.js';

export type HoldEventCode =
  | 'phase'
  | 'zero'
  | 'zero-not-seen'
  | 'zero-out-of-tolerance'
  | 'zero-after'
  | 'ramp-too-fast'
  | 'pump-to-booster'
  | 'target-reached'
  | 'above-target-band'
  | 'low-stage-void'
  | 'stroke'
  | 'strokes-missing'
  | 'overpressure'
  | 'opposite-pressure'
  | 'did-not-settle'
  | 'fast-ramp-heat'
  | 'dwell-early-end'
  | 'topped-up'
  | 'valve-moved'
  | 'data-gap'
  | 'duplicate-time'
  | 'gauge-fault'
  | 'below-test-pressure'
  | 'pressure-lost'
  | 'forced'
  | 'note'
  | 'observation'
  | 'external-leak'
  | 'collected'
  | 'oil-temperature'
  | 'inspected'
  | 'taken-back'
  | 'inspection-taken-back'
  | 'inspection-missing'
  | 'repeat'
  | 'stopped'
  | 'interrupted'
  | 'no-bleed-down'
  | 'trapped-pressure'
  | 'bled-down';

/** Something worth a line in the record and on the screen. */
export interface HoldEvent {
  readonly timeUs: number;
  readonly port: PortName;
  readonly attempt: number;
  readonly stage: string | null;
  readonly phase: PhaseName;
  readonly code: HoldEventCode;
  /** `alarm` stays on the screen until acknowledged; `void` also makes a running dwell invalid. */
  readonly grade: 'note' | 'warn' | 'alarm' | 'void';
  /** In words, with figures in SI spelled for a person by whoever shows it: `{pressure:25000000}` marks a pressure. */
  readonly text: string;
}
