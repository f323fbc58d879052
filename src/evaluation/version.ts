import type { TestPlan } from '../procedure/index.js';

/**
 * The version by which a plan is judged: it changes with every change that can move a figure or a verdict, and is
 * stored with each record. 1: levels as the gauge shows them. 2: levels corrected as the calibration states. 3: slow
 * strokes before the hold are read. A plan says which it is, so an older record still comes out the same to the last bit.
 */
export const evaluationVersionOf = (plan: TestPlan): string => {
  if (plan.ports.some(({ strokes }) => strokes !== undefined)) return '3';
  return plan.corrections === 'applied' ? '2' : '1';
};
