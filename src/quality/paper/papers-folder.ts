import { mkdirSync } from 'node:fs';
import path from 'node:path';
import type { Shop } from '../../bench/index.js';
import type { Store } from '../../record/index.js';
import { issuableTest } from './issuable.js';
import { type Issued, issue } from './issue.js';
import { Press } from './press.js';
import { settleWaiting } from './settle.js';

/** Where a shop's papers lie when nobody says otherwise. */
export const papersFolder = (shop: Shop): string => path.join(shop.folder, 'certificates');

/** Issues the paper of a test into the shop's folder, in the shop's language and the customer's units. */
export function certificateOf(store: Store, shop: Shop, test: string): Promise<Issued> {
  const folder = papersFolder(shop);
  mkdirSync(folder, { recursive: true });
  settleWaiting(store, folder);
  issuableTest(store, shop, test);
  return issue(store, new Press(shop), test, { output: folder, folder: true });
}
