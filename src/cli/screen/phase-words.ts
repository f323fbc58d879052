import type { PhaseName } from '../../holdtest/index.js';

/** The phases in their order, and the word that the screen has for each. */
export const steps = [
  ['ready', 'vented'],
  ['ramp', 'ramp'],
  ['stabilise', 'settle'],
  ['dwell', 'dwell'],
  ['bleed-down', 'bleed-down'],
] as const;

export const phaseWord = (phase: PhaseName): string => steps.find(([name]) => name === phase)?.[1] ?? phase;
