export { Judgement, type JudgementOptions, judge } from './judgement.js';
export { isInspected } from './verdicts.js';
