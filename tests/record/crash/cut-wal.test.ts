import { describe, it } from 'vitest';
import { scratchFolder } from '../sample-test.js';
import { cutWalAtRandom } from './cut-wal.js';

describe('a WAL cut off at a random place', () => {
  it('leaves a whole store that ends earlier (8 cuts)', () => cutWalAtRandom(scratchFolder(), 8));
});
