export { entryText, standingEntries } from './entries.js';
export type { HoldEvent, HoldEventCode } from './event.js';
export {
  type EndReason,
  type HoldInput,
  type HoldInputs,
  type HoldStretch,
  type LeakAmount,
  type LeakObservation,
  type LeakPoint,
  leakAmounts,
  leakPoints,
  type OperatorAct,
  type PhaseName,
  type RepeatCause,
} from './input.js';
export { asLevel, asLevels, correctionsOf } from './level.js';
export { isExternalLeak } from './operator.js';
export { phaseSteps, phaseWord } from './phase-words.js';
export { progressOf } from './progress.js';
export { type PromptKey, promptFor } from './prompt.js';
export { quietDwell } from './quiet-dwell.js';
export {
  type AttemptFacts,
  beginHold,
  type HoldEffect,
  type HoldState,
  type Phase,
  type StageOutcome,
} from './state.js';
export { step } from './step.js';
export type { SeenStroke, StrokeEnd } from './strokes/stroke-state.js';
export { portOf } from './turn.js';
