export { correctedPa, correctionAt, errorAt } from './correction.js';
export { type DoubtWindow, type DriftRow, doubtWindow, driftRows } from './drift.js';
