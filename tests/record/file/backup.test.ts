import { spawn } from 'node:child_process';
import { existsSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { verifyStore } from '../../../src/audit/index.js';
import { openStore } from '../../../src/record/index.js';
import { sampleJudge, smallStore } from '../../audit/sample-store.js';
import { newStore, sampleHeader, sampleReadings, scratchFolder } from '../sample-test.js';

const folder = scratchFolder();

function verified(path: string, anchors: { position: number; head: string }[]): number {
  const copy = openStore(path, { mode: 'read' });
  try {
    expect(verifyStore(copy, sampleJudge, { anchors }).problems).toEqual([]);
    return copy.tests().length;
  } finally {
    copy.close();
  }
}

describe('a backup', () => {
  it('of a test that runs in this process holds what was committed, and a line of the ledger tells of it', async () => {
    const { store } = smallStore(join(folder, 'running.db'));
    const writer = store.beginTest(sampleHeader('T-2026-0004', { origin: 'live' }));
    const readings = sampleReadings({ seconds: 30 });
    for (const reading of readings.slice(0, 200)) writer.append({ kind: 'reading', reading });
    const anchor = store.ledgerHead();
    const copying = store.backup(join(folder, 'copy.db'));
    for (const reading of readings.slice(200)) writer.append({ kind: 'reading', reading });
    await copying;
    expect(verified(join(folder, 'copy.db'), [anchor])).toBe(4);
    expect(store.acts('backup made')).toHaveLength(1);
    store.close();
  });

  it('of a test that runs in another process is one state of the file', async () => {
    const path = join(folder, 'beside.db');
    newStore(path).close();
    const child = join(import.meta.dirname, '../crash/writing-child.ts');
    const writer = spawn(process.execPath, ['--import', 'tsx', child, path], { stdio: ['ignore', 'pipe', 'inherit'] });
    await new Promise((begun) => writer.stdout.once('data', begun));
    const store = openStore(path, { mode: 'read' });
    const anchor = store.ledgerHead();
    await store.backup(join(folder, 'beside-copy.db'));
    store.close();
    const ended = new Promise((gone) => writer.once('exit', gone));
    writer.kill('SIGKILL');
    await ended;
    expect(verified(join(folder, 'beside-copy.db'), [anchor])).toBeGreaterThan(0);
  });

  it('never takes the place of a file, and leaves nothing behind when it cannot be written', async () => {
    const { store } = smallStore(join(folder, 'refused.db'));
    const there = join(folder, 'there.db');
    writeFileSync(there, 'something else');
    await expect(store.backup(there)).rejects.toThrow('there is a file of that name already');
    await expect(store.backup(join(folder, 'no', 'folder.db'))).rejects.toThrow('the copy cannot be written there');
    expect(readdirSync(folder).filter((name) => name.endsWith('.unfinished'))).toEqual([]);
    expect(existsSync(join(folder, 'no'))).toBe(false);
    store.close();
  });
});
