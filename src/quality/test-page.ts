import { type Shop, softwareVersion } from '../bench/index.js';
import { isShippedProcedure } from '../certificate/index.js';
import { pageProgram, writePage } from '../page/index.js';
import { bundleLines, isoWithOffset, type Store } from '../record/index.js';
import { unitsOf } from './customer-units.js';
import { stationeryOf } from './paper/stationery.js';

/** A sealed test as one HTML file that needs nothing beside it, in the shop's language and words. */
export async function* testPage(store: Store, test: string, shop: Shop): AsyncIterable<Uint8Array> {
  const { header } = store.test(test);
  const bundle = [...bundleLines(store, test)].join('');
  const { words } = stationeryOf(shop, shop.language);
  const setting = {
    language: shop.language,
    units: unitsOf(header),
    words: words.changes,
    procedureIsTemplate: isShippedProcedure(header.plan.procedure.id),
    writtenAt: isoWithOffset(new Date()),
    program: softwareVersion,
  };
  yield Buffer.from(writePage(bundle, setting, await pageProgram()));
}
