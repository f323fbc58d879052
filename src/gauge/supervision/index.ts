export { type SupervisionLimits, supervisionLimits, type TalkMode } from './limits.js';
export type { SupervisionInput } from './rule.js';
export { type SupervisionState, supervise, supervisionStart } from './supervise.js';
export { supervised } from './supervised.js';
