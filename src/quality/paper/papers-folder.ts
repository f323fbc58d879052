import { mkdirSync } from 'node:fs';
import path from 'node:path';
import type { Shop } from '../../bench/index.js';
import type { IssuedCertificate, Store } from '../../record/index.js';
import type { UnlockedSigner } from '../../signing/index.js';
import { DwellmarkError } from '../../units/index.js';
import { certificateUnder, issuableTest } from './issuable.js';
import { type Issued, issue } from './issue.js';
import { Press } from './press.js';
import { settleWaiting } from './settle.js';

/** Where a shop's papers lie when nobody says otherwise. */
export const papersFolder = (shop: Shop): string => path.join(shop.folder, 'certificates');

/** Issues the paper of a test into the shop's folder, in the shop's language and the customer's units. */
export function certificateOf(store: Store, shop: Shop, test: string): Promise<Issued> {
  const folder = readyFolder(store, shop);
  issuableTest(store, shop, test);
  return issue(store, new Press(shop), test, { output: folder, folder: true });
}

/** The same in place of a paper that stands, which becomes void. */
export function reissueOf(
  store: Store,
  shop: Shop,
  number: string,
  reason: string,
  by: UnlockedSigner,
): Promise<Issued> {
  const { test } = replaceable(store, number);
  const folder = readyFolder(store, shop);
  return issue(store, new Press(shop), test, { output: folder, folder: true }, { number, reason, by });
}

/** A certificate that nothing has taken the place of yet. @throws DwellmarkError (`refused`) for another. */
export function replaceable(store: Store, number: string): IssuedCertificate {
  const old = certificateUnder(store, number);
  if (old.replacedBy === null) return old;
  throw new DwellmarkError('refused', `${number} was replaced by ${old.replacedBy} already`, {
    advice: `Reissue that one: --reissue ${old.replacedBy}.`,
  });
}

function readyFolder(store: Store, shop: Shop): string {
  const folder = papersFolder(shop);
  mkdirSync(folder, { recursive: true });
  settleWaiting(store, folder);
  return folder;
}
