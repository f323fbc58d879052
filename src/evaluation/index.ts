export { type CollectedComparison, compareCollected, judgeCollected } from './collected.js';
export { compareStages, type StageComparison, stagesComparedFlag } from './compare-stages.js';
export type { DwellContext, EarlyWord } from './context.js';
export { type Acceptance, acceptance, type GoverningLimit, governingLimit } from './decision.js';
export { type Dwell, startDwell } from './dwell.js';
export { isInspected, Judgement, type JudgementOptions, judge } from './judge/index.js';
export { type JudgedDrop, judgedDrop } from './judged-drop.js';
export { leakRate, rateOfLeak } from './leak.js';
export type {
  BudgetLine,
  Diagnosis,
  DiagnosisShape,
  EvaluationFlag,
  PortResult,
  StageResult,
  StiffnessResult,
  TestResult,
  Verdict,
} from './result.js';
export { type DwellEnd, stageNotReached } from './stage-result.js';
export { type CorrelatedNoise, correlatedNoise } from './statistics/correlated-noise.js';
export { createLineFit, type LineFit, type LineFitResult } from './statistics/line-fit.js';
export { studentTProbability, studentTQuantile } from './statistics/student-t.js';
export { median, type RobustLine, theilSen } from './statistics/theil-sen.js';
export { breakAway } from './strokes/read-stroke.js';
export type { BreakAwayResult, StickSlip, StrokeResult } from './strokes/stroke-result.js';
export { type Contribution, type Expanded, expand } from './uncertainty/combine.js';
export {
  dropResolutionU,
  levelBudget,
  levelUncertainty,
  rectangularU,
  resolutionU,
} from './uncertainty/gauge-part.js';
export { evaluationVersion } from './version.js';
