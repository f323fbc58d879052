export type { HoldEvent, HoldEventCode } from './event.js';
export {
  type EndReason,
  type HoldInput,
  type LeakAmount,
  type LeakObservation,
  type LeakPoint,
  leakAmounts,
  leakPoints,
  type OperatorAct,
  type PhaseName,
  type RepeatCause,
} from './input.js';
