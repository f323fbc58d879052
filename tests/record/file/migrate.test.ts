import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { verifyStore } from '../../../src/audit/index.js';
import { openStore } from '../../../src/record/index.js';
import { sampleJudge, smallStore } from '../../audit/sample-store.js';
import { scratchFolder } from '../sample-test.js';

const folder = scratchFolder();

/** A store as version 1 left it, with its indexes. */
function ofVersion1(name: string): string {
  const path = join(folder, name);
  smallStore(path).store.close();
  const db = new Database(path);
  db.exec(`DROP INDEX ledger_about; DROP INDEX seal_test; DROP INDEX test_found;
    CREATE INDEX test_started ON test (started_ms);
    CREATE INDEX ledger_test ON ledger (test, kind) WHERE test IS NOT NULL; PRAGMA user_version = 1`);
  db.close();
  return path;
}

/** Every row of every table, but for the ledger's line that tells of the migration. */
function rows(path: string): unknown[] {
  const db = new Database(path, { readonly: true });
  const tables = ['test', 'header', 'fresh', 'block', 'seal', 'attachment', 'search'];
  const all = tables.map((table) => db.prepare(`SELECT * FROM ${table}`).all());
  all.push(db.prepare("SELECT * FROM ledger WHERE kind <> 'store migrated'").all());
  db.close();
  return all;
}

describe('a store of version 1', () => {
  it('is read and verified as it is', () => {
    const path = ofVersion1('read.db');
    const store = openStore(path, { mode: 'read' });
    expect(verifyStore(store, sampleJudge).problems).toEqual([]);
    expect(store.tests({ person: 'Lindqvist' }).map(({ test }) => test)).toEqual(['T-2026-0002', 'T-2026-0001']);
    store.close();
  });

  it('is brought to the newest version by its first writer: told in the ledger, and no row touched', () => {
    const path = ofVersion1('written.db');
    const before = rows(path);
    const store = openStore(path, { mode: 'write' });
    expect(store.acts('store migrated').map(({ body }) => body)).toEqual([{ from: 1 }]);
    expect(verifyStore(store, sampleJudge).problems).toEqual([]);
    store.close();
    expect(rows(path)).toEqual(before);
    openStore(path, { mode: 'write' }).close();
    const again = openStore(path, { mode: 'read' });
    expect(again.acts('store migrated')).toHaveLength(1);
    again.close();
  });
});
