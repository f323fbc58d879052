import { spawn } from 'node:child_process';
import { chmodSync, existsSync, mkdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { openStore } from '../../../src/record/index.js';
import {
  asInputs,
  newStore,
  sampleHeader,
  sampleReadings,
  sampleResult,
  scratchFolder,
  writeTest,
} from '../sample-test.js';

const folder = scratchFolder();
const inputs = asInputs(sampleReadings({ seconds: 5 }));

function stored(name: string): string {
  const path = join(folder, name);
  const store = newStore(path);
  writeTest(store, sampleHeader('T-2026-0001'), inputs);
  store.close();
  return path;
}

describe('opening a store', () => {
  it('writes with WAL and synchronous FULL, under its own application id', () => {
    const path = stored('durable.db');
    const db = new Database(path);
    expect(db.pragma('application_id', { simple: true })).toBe(0x64776d6b);
    expect(db.pragma('user_version', { simple: true })).toBe(3);
    expect(db.pragma('journal_mode', { simple: true })).toBe('wal');
    db.close();
  });

  it('several write at once; a test has one writer, in this process and in another, and its lock dies with its holder', async () => {
    const path = stored('locked.db');
    const [store, other] = [newStore(path), newStore(path)];
    const writer = store.beginTest(sampleHeader('T-2026-0002', { origin: 'live' }));
    expect(other.isRunning('T-2026-0002')).toBe(true);
    expect(() => other.resumeTest('T-2026-0002')).toThrow('test T-2026-0002 is being written by another dwellmark');
    expect(() => store.resumeTest('T-2026-0002')).toThrow('is being written already');
    const heads = [other, store, other].map((one) => one.act('backup made', {}).position);
    expect(heads).toEqual([heads[0], (heads[0] ?? 0) + 1, (heads[0] ?? 0) + 2]);
    expect(writer.test).toBe('T-2026-0002');
    store.close();
    expect(other.isRunning('T-2026-0002')).toBe(false);
    const holder = spawn(
      process.execPath,
      [
        '-e',
        `const D = require('better-sqlite3'); const d = new D(${JSON.stringify(`${path}-test-T-2026-0002`)}); d.exec('BEGIN EXCLUSIVE'); console.log('held'); setInterval(() => d.open, 1000)`,
      ],
      { stdio: ['ignore', 'pipe', 'inherit'] },
    );
    await new Promise((held) => holder.stdout.once('data', held));
    expect(other.isRunning('T-2026-0002')).toBe(true);
    expect(() => other.resumeTest('T-2026-0002')).toThrow('is being written by another');
    const ended = new Promise((gone) => holder.once('exit', gone));
    holder.kill('SIGKILL');
    await ended;
    other.resumeTest('T-2026-0002').finish(sampleResult([]));
    expect(existsSync(`${path}-test-T-2026-0002`)).toBe(false);
    other.close();
  });

  it('a newer version, another database and a missing file are refused and left as they are', () => {
    const path = stored('newer.db');
    const db = new Database(path);
    db.pragma('user_version = 9');
    db.close();
    const before = statSync(path).mtimeMs;
    for (const mode of ['read', 'write'] as const)
      expect(() => openStore(path, { mode })).toThrow('this store has version 9; this program knows 3');
    expect(statSync(path).mtimeMs).toBe(before);

    const other = new Database(join(folder, 'other.db'));
    other.exec('CREATE TABLE a (b)');
    other.close();
    writeFileSync(
      join(folder, 'text.db'),
      'this is a letter, not a database, and long enough to be read as one'.repeat(20),
    );
    for (const name of ['other.db', 'text.db'])
      for (const mode of ['read', 'write'] as const)
        expect(() => openStore(join(folder, name), { mode })).toThrow('not a dwellmark store');
    expect(() => openStore(join(folder, 'none.db'), { mode: 'read' })).toThrow('there is no store here');
    expect(existsSync(join(folder, 'none.db'))).toBe(false);
    expect(() => openStore(join(folder, 'no', 'folder.db'), { mode: 'write' })).toThrow('the store cannot be written');
  });

  it('reads a store in a folder that may only be read', () => {
    const sealed = join(folder, 'sealed');
    mkdirSync(sealed);
    const path = stored('sealed/shop.db');
    chmodSync(path, 0o444);
    chmodSync(sealed, 0o555);
    const store = openStore(path, { mode: 'read' });
    expect([...store.inputs('T-2026-0001')]).toEqual(inputs);
    store.close();
    chmodSync(sealed, 0o755);
  });

  it('an empty file, left by a start that was cut off, becomes a store', () => {
    const path = join(folder, 'empty.db');
    writeFileSync(path, '');
    const store = newStore(path);
    expect(store.acts('store created')).toHaveLength(1);
    store.close();
  });
});
