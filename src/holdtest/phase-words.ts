import type { PhaseName } from './input.js';

/** The phases in their order, and the word that a screen has for each. */
export const phaseSteps = [
  ['ready', 'vented'],
  ['ramp', 'ramp'],
  ['stabilise', 'settle'],
  ['dwell', 'dwell'],
  ['bleed-down', 'bleed-down'],
] as const;

export const phaseWord = (phase: PhaseName): string => phaseSteps.find(([name]) => name === phase)?.[1] ?? phase;
