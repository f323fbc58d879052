import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { scratchFolder, seeded } from '../record/sample-test.js';
import { attackBytes, attackedStore } from './byte-attack.js';

describe('one byte changed somewhere in the file', () => {
  it('no stored fact reads otherwise without verify finding it (50 random places)', () => {
    const path = join(scratchFolder(), 'attacked.db');
    const bytes = attackedStore(path);
    const random = seeded(9);
    const offsets = Array.from({ length: 50 }, () => Math.floor(random() * bytes.length));
    const outcome = attackBytes(path, bytes, offsets);
    expect(outcome.missed).toEqual([]);
    expect(outcome.found).toBeGreaterThan(2);
  });
});
