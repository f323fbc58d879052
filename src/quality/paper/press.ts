import type { Shop } from '../../bench/index.js';
import type { Language } from '../../certificate/index.js';
import { loadShopIdentity, type ShopIdentity } from '../../signing/index.js';
import { type Stationery, stationeryOf } from './stationery.js';

/** What the papers of one command have in common, read once: the shop's signing certificate, its stationery. */
export class Press {
  readonly shop: Shop;
  readonly #stationery = new Map<Language, Stationery>();
  #identity: ShopIdentity | undefined;

  constructor(shop: Shop) {
    this.shop = shop;
  }

  /** @throws DwellmarkError (`refused`, `altered`) when the shop has none, or its parts do not belong together. */
  get identity(): ShopIdentity {
    this.#identity ??= loadShopIdentity(this.shop.keys);
    return this.#identity;
  }

  /** @throws DwellmarkError (`input`) for a layout, language file or logo that can't be read. */
  stationery(language: Language): Stationery {
    const known = this.#stationery.get(language) ?? stationeryOf(this.shop, language);
    this.#stationery.set(language, known);
    return known;
  }
}
