export { Judgement, type JudgementOptions, judge } from './judgement.js';
