import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { verifyBundle, verifyStore, verifyTest } from '../../src/audit/index.js';
import { suspicions } from '../../src/audit/suspicions/index.js';
import { bundleLines, openStore } from '../../src/record/index.js';
import { newStore, sampleHeader, sampleReadings, sampleResult, scratchFolder } from '../record/sample-test.js';
import { behindItsBack } from './behind-its-back.js';
import { sampleJudge, smallStore } from './sample-store.js';

const folder = scratchFolder();

describe('a store nobody touched', () => {
  const path = join(folder, 'whole.db');
  const { store } = smallStore(path);

  it('verifies, and says what it cannot know', () => {
    const report = verifyStore(store, sampleJudge);
    expect(report.problems).toEqual([]);
    expect(report.counts).toMatchObject({ tests: 3, readings: 440, verdicts: 2, signatures: 3, certificates: 1 });
    expect(report.notChecked.join('\n')).toMatch(/newest end of the ledger.*T-2026-0003: never sealed/s);
  });

  it('a single test verifies with the ledger it stands on', () => {
    const report = verifyTest(store, 'T-2026-0001', sampleJudge, { anchors: [store.ledgerHead()] });
    expect(report.problems).toEqual([]);
    expect(report.counts).toMatchObject({ tests: 1, verdicts: 1, signatures: 2, certificates: 1 });
    expect(report.checked.join('\n')).toContain('the ledger still holds position');
  });

  it('a verdict that another rule would not give is found', () => {
    const stricter = verifyStore(store, (_header, inputs) => sampleResult(inputs, 1));
    expect(stricter.problems.map(({ where }) => where)).toEqual([
      'test T-2026-0001, verdict',
      'test T-2026-0002, verdict',
    ]);
    const newer = verifyStore(store, (_header, inputs) => ({ ...sampleResult(inputs), evaluationVersion: '2' }));
    expect(newer.problems).toEqual([]);
    expect(newer.notChecked.filter((line) => line.includes("this program's 2"))).toHaveLength(2);
  });

  it('a judge that stops early does not shorten the check', () => {
    const lazy = verifyStore(store, (_header, inputs) => {
      for (const _ of inputs) break;
      return { evaluationVersion: '0', verdict: 'pass', ports: [] };
    });
    expect(lazy.problems).toEqual([]);
    expect(lazy.counts.readings).toBe(440);
  });

  it('an anchor from before is still in it; a made-up one, and one from beyond its end, are not', () => {
    const { position, head } = store.ledgerHead();
    expect(verifyStore(store, null, { anchors: [{ position: 4, head: 'f'.repeat(64) }] }).problems).toMatchObject([
      { where: 'anchor, ledger position 4' },
    ]);
    expect(verifyStore(store, null, { anchors: [{ position: position + 1, head }] }).problems).toMatchObject([
      { what: expect.stringContaining('newer lines were cut off') },
    ]);
  });

  it('a backup made while it is open verifies against the anchor of the original', async () => {
    const anchor = store.ledgerHead();
    await store.backup(join(folder, 'copy.db'));
    const copy = openStore(join(folder, 'copy.db'), { mode: 'read' });
    expect(verifyStore(copy, sampleJudge, { anchors: [anchor] }).problems).toEqual([]);
    copy.close();
  });
});

describe('an altered store', () => {
  const { store } = smallStore(join(folder, 'template.db'));
  store.close();

  /** A store with one change made behind its back. */
  function altered(name: string, change: (db: Database.Database) => void): string[] {
    const path = join(folder, `${name}.db`);
    const copy = new Database(join(folder, 'template.db'));
    copy.exec(`VACUUM INTO '${path}'`);
    copy.close();
    behindItsBack(path, change);
    const reader = openStore(path, { mode: 'read' });
    const { problems } = verifyStore(reader, sampleJudge);
    reader.close();
    return problems.map(({ where, what }) => `${where}: ${what}`);
  }

  const cases: readonly [string, (db: Database.Database) => void, RegExp][] = [
    ['the guards taken off and put back', () => undefined, /^$/],
    [
      'a byte of a block',
      (db) => {
        const { id, payload } = db.prepare('SELECT id, payload FROM block LIMIT 1').get() as {
          id: number;
          payload: Buffer;
        };
        payload[payload.length - 30] = (payload[payload.length - 30] ?? 0) ^ 1;
        db.prepare('UPDATE block SET payload = ? WHERE id = ?').run(payload, id);
      },
      /T-2026-0001.*do not fit the hash chain/,
    ],
    ['two blocks swapped', (db) => swap(db, 'block', 'payload', 'id', 1, 2), /T-2026-0001.*do not fit the hash chain/],
    ['a quick-look figure', (db) => db.exec('UPDATE block SET min_pa = min_pa - 1 WHERE id = 1'), /minPa is stored as/],
    [
      'a chunk dropped from a sealed test',
      (db) => db.exec('DELETE FROM block WHERE test = 1'),
      /T-2026-0001, seal: (chain|links) is stored/,
    ],
    [
      'a chunk moved to another sealed test, at its end',
      (db) => db.exec('UPDATE block SET test = 2, first_seq = first_seq + 1000 WHERE test = 1'),
      /T-2026-0001, seal: links is stored as 4, should be 0.*T-2026-0002/s,
    ],
    [
      'a gauge in the header, with the column it is found by',
      (db) =>
        db.exec(`UPDATE header SET header = replace(header, 'SN 40117', 'SN 40118') WHERE test = 1;
          UPDATE test SET gauge = 'SN 40118', gauge_folded = 'sn 40118' WHERE id = 1`),
      /T-2026-0001, header: the head is stored/,
    ],
    ['a test moved to another', (db) => db.exec('UPDATE block SET test = 3 WHERE id = 2'), /T-2026-0002/],
    ['the newest chunk dropped', (db) => db.exec('DELETE FROM fresh WHERE seq = 1'), /T-2026-0003, entries 1/],
    ['a customer', (db) => db.exec("UPDATE test SET customer = 'Other' WHERE id = 1"), /customer is stored as Other/],
    [
      'a procedure in the header',
      (db) => db.exec(`UPDATE header SET header = replace(header, 'cylinder-proof', 'cylinder-prooF') WHERE test = 1`),
      /T-2026-0001, seal: header is stored/,
    ],
    [
      'a verdict in the seal',
      (db) => db.exec(`UPDATE seal SET seal = replace(seal, '"pass"', '"fail"'), verdict = 'fail' WHERE test = 1`),
      /the seal does not fit the chain/,
    ],
    [
      'a verdict in the list',
      (db) => db.exec("UPDATE seal SET verdict = 'fail' WHERE test = 1"),
      /the verdict in the list/,
    ],
    [
      'a signature moved to the other test',
      (db) => db.exec(`UPDATE ledger SET test = 'T-2026-0002' WHERE kind = 'signed' AND test = 'T-2026-0001'`),
      /test is stored as T-2026-0002, should be T-2026-0001/,
    ],
    [
      'a signature moved to the other test, line and all',
      (db) =>
        db.exec(`UPDATE ledger SET test = 'T-2026-0002', line = replace(line, 'T-2026-0001', 'T-2026-0002')
          WHERE kind = 'signed' AND test = 'T-2026-0001'`),
      /T-2026-0002, signature of/,
    ],
    [
      'the time of an act',
      (db) => db.exec(`UPDATE ledger SET line = replace(line, '2026-03-02T', '2026-03-01T') WHERE position = 6`),
      /ledger line 6: the line does not fit the chain/,
    ],
    [
      'the text of a ledger line',
      (db) => db.exec(`UPDATE ledger SET line = replace(line, 'wrong cylinder', 'right cylinder')`),
      /the line does not fit the chain/,
    ],
    ['a ledger line cut out', (db) => db.exec('DELETE FROM ledger WHERE position = 5'), /ledger line 5: the position/],
    ['a kept file', (db) => db.exec(`UPDATE attachment SET bytes = x'25'`), /kept file .*SHA-256/],
    [
      'the search text',
      (db) => db.exec("UPDATE search SET text = 'nothing' WHERE rowid = 1"),
      /the text it is searched by/,
    ],
    ['a test with all its rows', (db) => removeTest(db, 2), /"test started" is about test T-2026-0002, which is not/],
    ['the seal of a test', (db) => db.exec('DELETE FROM seal WHERE test = 2'), /number of lines "test sealed"/],
  ];
  for (const [name, change, expected] of cases)
    it(`${name}: ${expected.source === '^$' ? 'leaves no trace, and none is claimed' : 'found'}`, () => {
      const problems = altered(name.replaceAll(' ', '-'), change).join('\n');
      expect(problems).toMatch(expected);
    });

  it('the newest test removed with its ledger line: only an anchor finds it', () => {
    const before = openStore(join(folder, 'template.db'), { mode: 'read' });
    const anchor = before.ledgerHead();
    before.close();
    const removed = (db: Database.Database): void => {
      removeTest(db, 3);
      db.exec(`DELETE FROM ledger WHERE test = 'T-2026-0003'`);
    };
    expect(altered('cut-off', removed)).toEqual([]);
    const reader = openStore(join(folder, 'cut-off.db'), { mode: 'read' });
    expect(verifyStore(reader, sampleJudge, { anchors: [anchor] }).problems).toEqual([
      {
        where: `anchor, ledger position ${anchor.position}`,
        what: expect.stringContaining('newer lines were cut off'),
      },
    ]);
    reader.close();
  });

  it('the whole ledger rebuilt by someone with the keys: only an anchor finds it', () => {
    const before = openStore(join(folder, 'template.db'), { mode: 'read' });
    const anchor = before.ledgerHead();
    before.close();
    const { store: rebuilt } = smallStore(join(folder, 'rebuilt.db'));
    expect(verifyStore(rebuilt, sampleJudge).problems).toEqual([]);
    expect(verifyStore(rebuilt, sampleJudge, { anchors: [anchor] }).problems).toEqual([
      { where: `anchor, ledger position ${anchor.position}`, what: expect.stringContaining('it was rebuilt') },
    ]);
    rebuilt.close();
  });

  it('a guard removed: found', () => {
    const path = join(folder, 'guard.db');
    const copy = new Database(join(folder, 'template.db'));
    copy.exec(`VACUUM INTO '${path}'`);
    copy.close();
    const db = new Database(path);
    db.exec('DROP TRIGGER seal_no_update');
    db.close();
    const reader = openStore(path, { mode: 'read' });
    expect(verifyStore(reader, null).problems.map(({ what }) => what)).toEqual([
      'trigger seal_no_update is not as this program makes it',
    ]);
    reader.close();
  });

  function swap(db: Database.Database, table: string, column: string, key: string, a: number, b: number): void {
    const read = db.prepare(`SELECT ${column} AS value FROM ${table} WHERE ${key} = ?`);
    const write = db.prepare(`UPDATE ${table} SET ${column} = ? WHERE ${key} = ?`);
    const values = [a, b].map((id) => (read.get(id) as { value: unknown }).value);
    write.run(values[1], a);
    write.run(values[0], b);
  }

  function removeTest(db: Database.Database, id: number): void {
    db.pragma('foreign_keys = OFF');
    for (const table of ['header', 'block', 'seal', 'fresh']) db.exec(`DELETE FROM ${table} WHERE test = ${id}`);
    db.exec(`DELETE FROM search WHERE rowid = ${id}; DELETE FROM test WHERE id = ${id}`);
  }
});

describe('a bundle', () => {
  const { store } = smallStore(join(folder, 'bundled.db'));
  const text = [...bundleLines(store, 'T-2026-0001')].join('');

  it('verifies without its store, and comes out the same when made again', () => {
    const report = verifyBundle(text, sampleJudge);
    expect(report.problems).toEqual([]);
    expect(report).toMatchObject({ test: 'T-2026-0001', counts: { readings: 200, signatures: 2, verdicts: 1 } });
    const { position } = (JSON.parse(text.split('\n')[0] ?? '') as { ledger: { position: number } }).ledger;
    store.act('audit reported', { problems: 0 }, { test: 'T-2026-0001' });
    expect([...bundleLines(store, 'T-2026-0001', position)].join('')).toBe(text);
  });

  it('any letter changed is found or makes it unreadable', () => {
    const bytes = Buffer.from(text);
    const start = text.indexOf('\n') + 1;
    for (let at = start; at < bytes.length; at += 211) {
      const copy = Buffer.from(bytes);
      copy[at] = (copy[at] ?? 0) === 0x41 ? 0x42 : 0x41;
      expect(isSuspect(copy.toString('utf8')), `byte ${at}`).toBe(true);
    }
  });

  function isSuspect(bundle: string): boolean {
    try {
      return verifyBundle(bundle, sampleJudge).problems.length > 0;
    } catch {
      return true;
    }
  }
});

describe('the clock set back', () => {
  it('by an hour within a test and again between two: each step is told with its size', () => {
    let [wallMs, monotonicMs] = [Date.parse('2026-03-02T08:00:00Z'), 5000];
    const now = () => new Date(wallMs);
    const store = newStore(join(folder, 'clock.db'), { now, monotonicMs: () => monotonicMs });
    const pass = (ms: number, setMs = 0): void => {
      monotonicMs += ms;
      wallMs += ms + setMs;
    };
    const readings = sampleReadings({ seconds: 20 });
    for (const test of ['T-2026-0001', 'T-2026-0002']) {
      const writer = store.beginTest(sampleHeader(test, { origin: 'live' }));
      for (const [index, reading] of readings.entries()) {
        if (test === 'T-2026-0001' && index === 100) pass(0, -3_600_000);
        writer.append({ kind: 'reading', reading });
        pass(100);
      }
      writer.finish(sampleResult(readings.map((reading) => ({ kind: 'reading', reading }))));
      pass(60_000, -3_600_000);
    }
    expect([...store.clockMarks('T-2026-0001')]).toHaveLength(2);
    const told = suspicions(store).filter(({ kind }) => kind === 'clock step');
    expect(told.some(({ text }) => /back by \{seconds:3600(\.\d+)?\} during T-2026-0001/.test(text))).toBe(true);
    expect(told.some(({ text }) => /back by \{seconds:3600(\.\d+)?\} before ledger line/.test(text))).toBe(true);
    expect(verifyStore(store, sampleJudge).problems).toEqual([]);
    store.close();
  });
});
