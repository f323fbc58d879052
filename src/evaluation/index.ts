export type { EarlyWord } from './context.js';
export { governingLimit } from './decision.js';
export { isInspected, Judgement, judge } from './judge/index.js';
export { judgedDrop } from './judged-drop.js';
export type { BudgetLine, PortResult, StageResult, TestResult, Verdict } from './result.js';
export { studentTQuantile } from './statistics/student-t.js';
export type { StrokeResult } from './strokes/stroke-result.js';
export { evaluationVersion } from './version.js';
