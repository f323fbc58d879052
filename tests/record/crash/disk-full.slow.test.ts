import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Acknowledged, expectNothingLost, takeIn } from './acknowledged.js';

/** A disk of its own, six megabytes: making one takes the right to mount. */
const disk = mkdtempSync(join(tmpdir(), 'dwellmark-disk-'));
beforeAll(() => execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=6m', 'tmpfs', disk]));
afterAll(() => {
  execFileSync('umount', [disk]);
  rmSync(disk, { recursive: true });
});

describe('a disk that fills up', () => {
  it('is told in plain words, and everything acknowledged before is there', () => {
    const path = join(disk, 'full.db');
    const child = join(import.meta.dirname, 'writing-child.ts');
    const run = spawnSync(process.execPath, ['--import', 'tsx', child, path], { encoding: 'utf8', timeout: 120_000 });
    expect(run.stdout).toContain('refused the disk is full: the last readings are not stored');
    const known: Acknowledged = { readings: new Map(), sealed: new Set() };
    takeIn(run.stdout, known);
    expect(known.sealed.size).toBeGreaterThan(5);
    expectNothingLost(path, known);
  });
});
