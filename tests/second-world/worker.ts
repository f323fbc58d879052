import { cells, seedOf } from './cells/index.js';
import type { Trial } from './trial.js';

/** A share of a cell's holds: from one on, every so many. */
export interface Work {
  readonly index: number;
  readonly from: number;
  readonly every: number;
  readonly holds: number;
  readonly seed: number;
}

process.on('message', ({ index, from, every, holds, seed }: Work) => {
  const cell = cells[index];
  if (!cell) throw new Error(`there is no cell ${index}`);
  const trials: Trial[] = [];
  for (let hold = from; hold < holds; hold += every) trials.push(cell.run(seedOf(seed, cell, hold)));
  process.send?.(trials);
});
