import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { scratchFolder } from '../record/sample-test.js';
import { attackBytes, attackedStore } from './byte-attack.js';

/** DWELLMARK_BYTES=1 for a campaign over every byte of the file. */
const every = Number(process.env.DWELLMARK_BYTES ?? 29);

describe('one byte changed anywhere in the file', () => {
  it(`no stored fact reads otherwise without verify finding it (all of the header, then every ${every}th)`, () => {
    const path = join(scratchFolder(), 'attacked.db');
    const bytes = attackedStore(path);
    const offsets = [...bytes.keys()].filter((offset) => offset < 100 || offset % every === 0);
    const { missed, ...counts } = attackBytes(path, bytes, offsets);
    console.error(`${bytes.length} bytes: ${JSON.stringify(counts)}, missed ${missed.length}`);
    expect(missed).toEqual([]);
    expect(counts.found).toBeGreaterThan(counts.tried / 10);
  });
});
