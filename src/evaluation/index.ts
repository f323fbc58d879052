export type { EarlyWord } from './context.js';
export { governingLimit, judgedDrop } from './decision.js';
export { Judgement, judge } from './judge/judgement.js';
export { isInspected } from './judge/verdicts.js';
export type { BudgetLine, PortResult, StageResult, TestResult, Verdict } from './result.js';
export type { StrokeResult } from './strokes/break-away.js';
export { studentTQuantile } from './uncertainty.js';
export { evaluationVersion } from './version.js';
