import type { Cell } from './cell.js';
import { courseCells } from './courses.js';
import { gaugeCells } from './gauges.js';
import { feedCells, hiddenCells, topUpCells } from './hands.js';
import { heatCells } from './heat.js';
import { grossCells, limitCells } from './leaks.js';

export type { Bound, Cell, Count } from './cell.js';

/** Every kind of hold that is tried. */
export const cells: readonly Cell[] = [
  ...grossCells(),
  ...limitCells(),
  ...courseCells(),
  ...feedCells(),
  ...topUpCells(),
  ...heatCells(),
  ...gaugeCells(),
  ...hiddenCells(),
];

/** A hold's own seed: apart for each cell, however many are asked. */
export function seedOf(seed: number, cell: Cell, hold: number): number {
  let hash = seed >>> 0;
  for (const sign of `${cell.group}/${cell.name}/${hold}`)
    hash = Math.imul(hash ^ (sign.codePointAt(0) ?? 0), 2654435761) >>> 0;
  return hash;
}
