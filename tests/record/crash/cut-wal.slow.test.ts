import { describe, it } from 'vitest';
import { scratchFolder } from '../sample-test.js';
import { cutWalAtRandom } from './cut-wal.js';

/** A hundred in the usual run; DWELLMARK_CUTS=500 for a campaign. */
const cuts = Number(process.env.DWELLMARK_CUTS ?? 100);

describe('a WAL cut off at a random place', () => {
  it(`leaves a whole store that ends earlier (${cuts} cuts)`, () => cutWalAtRandom(scratchFolder(), cuts));
});
