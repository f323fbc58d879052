import Database from 'better-sqlite3';
import { guardTriggers } from './guards.js';
import { migrations } from './schema.js';

/** What SQLite finds wrong with the file's pages, indexes and constraints. A flipped byte in a payload it can't see. */
export function damage(db: Database.Database): string[] {
  readSearchAnew(db);
  const found = db.pragma('integrity_check') as { integrity_check: string }[];
  const keys = db.pragma('foreign_key_check') as { table: string; rowid: number }[];
  return [
    ...found.map((row) => row.integrity_check).filter((text) => text !== 'ok'),
    ...keys.map(({ table, rowid }) => `row ${rowid} of ${table} belongs to no test`),
  ];
}

/** A connection that once read the full-text index checks it as it was then: after another's writing that is no damage. */
function readSearchAnew(db: Database.Database): void {
  try {
    db.prepare("SELECT rowid FROM search WHERE search MATCH 'any' LIMIT 1").get();
  } catch {
    return; // The check itself says what is wrong with it.
  }
}

/** Names of tables, indexes and triggers that differ from those of the file's version: a guard removed shows here. */
export function foreignSchema(db: Database.Database): string[] {
  const fresh = new Database(':memory:');
  try {
    for (const step of migrations.slice(0, versionOf(db))) fresh.exec(step);
    fresh.exec(guardTriggers);
    const [wanted, found] = [objects(fresh), objects(db)];
    const names = new Set([...wanted.keys(), ...found.keys()]);
    return [...names].filter((name) => wanted.get(name) !== found.get(name));
  } finally {
    fresh.close();
  }
}

/** An older store that is only read keeps the schema of its version. */
const versionOf = (db: Database.Database): number => Number(db.pragma('user_version', { simple: true }));

/** All but the tables that ANALYZE fills: they hold counts for finding rows faster. */
function objects(db: Database.Database): Map<string, string> {
  const rows = db
    .prepare<[], { type: string; name: string; tbl_name: string; sql: string | null }>(
      `SELECT type, name, tbl_name, sql FROM sqlite_schema
       WHERE NOT (type = 'table' AND name = tbl_name AND name IN ('sqlite_stat1', 'sqlite_stat4'))`,
    )
    .all();
  return new Map(rows.map(({ type, name, tbl_name, sql }) => [`${type} ${name}`, `${tbl_name} ${sql ?? ''}`]));
}

/** Rows that no test's row stands for. */
export function strays(db: Database.Database): string[] {
  return ['header', 'seal', 'block', 'fresh'].flatMap((table) =>
    db
      .prepare<[], { test: number }>(`SELECT DISTINCT test FROM ${table} WHERE test NOT IN (SELECT id FROM test)`)
      .all()
      .map(({ test }) => `${table} holds rows of a test ${test} that is not there`),
  );
}
