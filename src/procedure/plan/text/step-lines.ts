import type { Procedure } from '../../procedure.js';
import { wrap } from './wrap.js';

/**
 * The steps of a procedure as numbered lines of at most 80 columns: before the first pressure, before and during each
 * stage, and after the last bleed-down, a blank line between. A heading without steps is left out.
 */
export function stepLines(procedure: Procedure): string[] {
  const lists = [
    listed('BEFORE PRESSURE', procedure.prepare),
    ...procedure.stages.flatMap((stage) => [
      listed(`BEFORE STAGE ${stage.name}`, stage.prepare),
      listed(`LOOK AT, STAGE ${stage.name}`, stage.look),
    ]),
    listed('AFTER BLEED-DOWN', procedure.finish),
  ];
  return lists.filter((lines) => lines.length > 0).flatMap((lines, index) => (index === 0 ? lines : ['', ...lines]));
}

function listed(heading: string, steps: readonly string[]): string[] {
  if (steps.length === 0) return [];
  return [heading, ...steps.flatMap((step, index) => wrap(`${String(index + 1).padStart(2)}  ${step}`, 1, 5))];
}
