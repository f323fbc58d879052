import { randomBytes } from 'node:crypto';
import type { Shop } from '../bench/index.js';

/** What the desk works with: one shop, one sitting. */
export interface Desk {
  readonly shop: Shop;
  /** In the address that the terminal shows: opens the desk once more in any browser of this computer. */
  readonly token: string;
  /** In the browser's cookie from then on. */
  readonly session: string;
  /** Hosts under which the page may be called, `127.0.0.1:7391`. */
  readonly hosts: ReadonlySet<string>;
  readonly now: () => Date;
}

/** A new secret of 256 bits, as text. */
export const secret = (): string => randomBytes(32).toString('base64url');
