import type Database from 'better-sqlite3';
import { DwellmarkError } from '../../units/index.js';

/**
 * Inserts one row, and demands that one row went in: a foreign trigger can swallow an INSERT without an error.
 * @param into table and columns: `seal (test, head)`.
 * @returns the row's id.
 * @throws DwellmarkError (`altered`) when no row went in.
 */
export function insertRow(db: Database.Database, into: string, values: readonly unknown[]): number {
  return insertingRow(db, into, values.length)(values);
}

/** The same, prepared once for many rows. */
export function insertingRow(
  db: Database.Database,
  into: string,
  columns: number,
): (values: readonly unknown[]) => number {
  const insert = db.prepare(`INSERT INTO ${into} VALUES (${Array(columns).fill('?').join(', ')})`);
  return (values) => {
    const { changes, lastInsertRowid } = insert.run(...values);
    demandRows(into.replace(/ .*/s, ''), changes, 1);
    return Number(lastInsertRowid);
  };
}

/** @throws DwellmarkError (`altered`) when a statement changed another number of rows than it must. */
export function demandRows(table: string, changed: number, wanted: number): void {
  if (changed === wanted) return;
  throw new DwellmarkError('altered', `the store did not take an entry (${table}): something in the file prevents it`, {
    advice: 'Nothing of this was stored. Run `dwellmark verify --all`: it names what does not belong in the file.',
  });
}
