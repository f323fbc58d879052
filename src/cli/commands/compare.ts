import path from 'node:path';
import { checkedTest, foundAndLeft, judgeStored, lastPair } from '../../audit/index.js';
import { findShop } from '../../bench/index.js';
import { renderComparison } from '../../certificate/index.js';
import { demandFreePlace, systemOf, waitingFile } from '../../quality/index.js';
import { openStore } from '../../record/index.js';
import type { CommonOptions } from '../common-options.js';
import { say, sayJson } from '../output.js';
import { numberOf } from '../program/command.js';
import { comparedLines, comparedPage } from '../report/compared-text.js';

export interface CompareOptions extends CommonOptions {
  readonly output?: string;
}

/** `dwellmark compare`: a cylinder as it was found and as it was left, from two tests that were checked. */
export async function run(given: string, left: string | undefined, options: CompareOptions): Promise<void> {
  const shop = findShop(options.shop);
  const file = options.output === undefined ? null : path.resolve(options.output);
  if (file !== null) demandFreePlace(file);
  const store = openStore(shop.database, { mode: 'read' });
  try {
    const pair = left === undefined ? lastPair(store, given) : ([numberOf(given), numberOf(left)] as const);
    for (const test of pair) checkedTest(store, test, judgeStored);
    const compared = foundAndLeft(store, ...pair);
    const system = systemOf(compared.left.header);
    if (file !== null)
      waitingFile(file, await renderComparison(comparedPage(compared, shop, system, new Date()))).place();
    if (options.json) {
      const { stages, notes } = compared;
      return sayJson({ found: pair[0], left: pair[1], stages, notes, ...(file === null ? {} : { file }) });
    }
    for (const line of comparedLines(compared, system)) say(line);
    if (file !== null) say(`\n${file} is written.`);
  } finally {
    store.close();
  }
}
