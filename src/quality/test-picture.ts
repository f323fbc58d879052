import type { Shop } from '../bench/index.js';
import { chartPicture, figuresOf, gatherTrace, shippedWords, tellStory } from '../certificate/index.js';
import type { Store } from '../record/index.js';
import { unitSystems } from '../units/index.js';
import { unitsOf } from './customer-units.js';
import { sealedTest } from './paper/issuable.js';
import { stationeryOf } from './paper/stationery.js';

/** The charts of a sealed test as a PNG, in the shop's language and words. */
export async function* testPicture(store: Store, test: string, shop: Shop): AsyncIterable<Uint8Array> {
  const { stored, result } = sealedTest(store, test);
  const words = stationeryOf(shop, shop.language).words ?? shippedWords(shop.language);
  const figures = figuresOf(words, unitSystems[unitsOf(stored.header)]);
  const trace = gatherTrace([...store.trace(test)]);
  yield await chartPicture(tellStory({ header: stored.header, result }, trace, words, figures));
}
