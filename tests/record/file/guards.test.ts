import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, describe, expect, it } from 'vitest';
import { smallStore } from '../../audit/sample-store.js';
import { scratchFolder } from '../sample-test.js';

const path = join(scratchFolder(), 'guarded.db');
smallStore(path).store.close();
const db = new Database(path);
afterAll(() => db.close());

const tables = ['ledger', 'test', 'header', 'fresh', 'block', 'seal', 'attachment'] as const;

describe.each(tables)('table %s, opened by any other program', (table) => {
  const column = (db.pragma(`table_info(${table})`) as { name: string }[])[0]?.name ?? '';
  const rows = (): unknown[] => db.prepare(`SELECT * FROM ${table}`).all();

  it.each([
    ['UPDATE', `UPDATE ${table} SET ${column} = ${column}`],
    ['DELETE', `DELETE FROM ${table}`],
    ['INSERT OR REPLACE', `INSERT OR REPLACE INTO ${table} SELECT * FROM ${table}`],
    ['REPLACE with recursive triggers off', `REPLACE INTO ${table} SELECT * FROM ${table}`],
    ['INSERT OR IGNORE', `INSERT OR IGNORE INTO ${table} SELECT * FROM ${table}`],
    [
      'an upsert',
      `INSERT INTO ${table} SELECT * FROM ${table} WHERE true ON CONFLICT DO UPDATE SET ${column} = ${column}`,
    ],
  ])('refuses %s', (_name, sql) => {
    db.pragma('recursive_triggers = OFF');
    const before = rows();
    expect(before.length).toBeGreaterThan(0);
    expect(() => db.exec(sql)).toThrow('append-only');
    expect(rows()).toEqual(before);
  });
});

describe('values of the wrong kind', () => {
  it.each([
    [
      'text for a number',
      `INSERT INTO block (test, first_seq, links, readings, head, payload, min_pa) VALUES (1, 99, 1, 1, zeroblob(32), x'00', '12,5')`,
    ],
    ['a head that is too short', `INSERT INTO fresh VALUES (3, 99, 1, x'00', x'00')`],
    [
      'a second certificate under a number',
      `INSERT INTO ledger SELECT 99, kind, test, subject, line, head FROM ledger WHERE kind = 'certificate issued'`,
    ],
  ])('%s: refused', (_name, sql) => {
    expect(() => db.exec(sql)).toThrow();
  });
});
