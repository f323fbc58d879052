export { Judgement, judge } from './judgement.js';
export { isInspected } from './verdicts.js';
