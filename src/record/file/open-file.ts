import { existsSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import Database from 'better-sqlite3';
import { DwellmarkError } from '../../units/index.js';
import { guardTriggers } from './guards.js';
import { applicationId, migrations } from './schema.js';
import { isBusy, storageError } from './storage-error.js';

export interface OpenFile {
  readonly db: Database.Database;
  close(): void;
}

/** What opening a file did to it. */
export interface Made {
  readonly created: boolean;
  /** Version the file had before, when it was brought up to this program's. */
  readonly migratedFrom: number | null;
}

/** So long a commit waits for that of another process: commits take milliseconds. */
const waitMs = 10_000;

/**
 * Opens the store's file. To write, beside others who write: makes or migrates the file, and asserts that every commit
 * will be on disk when it returns (WAL, synchronous FULL). To read: alters nothing.
 * @param tell writes what was made into the file, in the same commit.
 * @throws DwellmarkError for a file that is missing, no store, or of a newer version.
 */
export function openFile(path: string, mode: 'write' | 'read', tell: Tell = () => {}): OpenFile {
  return mode === 'write' ? openToWrite(path, tell) : openToRead(path);
}

type Tell = (db: Database.Database, made: Made) => void;

function openToWrite(path: string, tell: Tell): OpenFile {
  if (!existsSync(dirname(resolve(path))))
    throw new DwellmarkError('input', 'the store cannot be written: there is no such folder', {
      place: { file: path },
      advice: 'Check the path, or make the folder.',
    });
  try {
    const db = new Database(path, { timeout: waitMs });
    try {
      if (!isEmpty(db)) demandStore(db, path);
      migrate(db, tell);
      whenFree(() => setDurable(db));
      return { db, close: () => db.close() };
    } catch (cause) {
      db.close();
      throw cause;
    }
  } catch (cause) {
    throw storageError(cause, path);
  }
}

/** Nothing was ever put into the file; the pages of a transaction that has just begun count for nothing. */
const isEmpty = (db: Database.Database): boolean =>
  db.pragma('application_id', { simple: true }) === 0 &&
  db.pragma('user_version', { simple: true }) === 0 &&
  db.prepare('SELECT count(*) FROM sqlite_schema').pluck().get() === 0;

/** Two who make a store at the same moment: changing to WAL is not waited for by SQLite itself. */
function whenFree(work: () => void): void {
  for (const until = Date.now() + waitMs; ; ) {
    try {
      return work();
    } catch (cause) {
      if (!isBusy(cause) || Date.now() > until) throw cause;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 20);
    }
  }
}

function openToRead(path: string): OpenFile {
  if (!existsSync(path))
    throw new DwellmarkError('input', 'there is no store here', {
      place: { file: path },
      advice: 'Make one with `dwellmark init`.',
    });
  try {
    const db = readConnection(path);
    try {
      demandStore(db, path);
      return { db, close: () => db.close() };
    } catch (cause) {
      db.close();
      throw cause;
    }
  } catch (cause) {
    throw storageError(cause, path);
  }
}

/** A folder or file that may only be read has no room for the reader's index of the WAL: then the file alone is read. */
function readConnection(path: string): Database.Database {
  let db: Database.Database | undefined;
  try {
    db = new Database(path, { readonly: true, fileMustExist: true });
    db.pragma('schema_version');
    return db;
  } catch (cause) {
    db?.close();
    const code = cause instanceof Database.SqliteError ? cause.code : '';
    const waiting = existsSync(`${path}-wal`);
    if (waiting || !(code.startsWith('SQLITE_CANTOPEN') || code.startsWith('SQLITE_READONLY'))) throw cause;
    return new Database(`${pathToFileURL(resolve(path)).href}?immutable=1`, { readonly: true });
  }
}

function demandStore(db: Database.Database, path: string): void {
  if (db.pragma('application_id', { simple: true }) !== applicationId)
    throw new DwellmarkError('input', 'this file is not a dwellmark store', { place: { file: path } });
  const version = Number(db.pragma('user_version', { simple: true }));
  if (version > migrations.length)
    throw new DwellmarkError('input', `this store has version ${version}; this program knows ${migrations.length}`, {
      place: { file: path },
      advice: 'Use the newer dwellmark that wrote it; nothing has been changed.',
    });
}

function migrate(db: Database.Database, tell: Tell): void {
  if (!isEmpty(db) && versionOf(db) === migrations.length) return;
  db.transaction(() => {
    // Another may have made or migrated it since.
    const created = isEmpty(db);
    const from = created ? 0 : versionOf(db);
    if (from === migrations.length) return;
    for (const step of migrations.slice(from)) db.exec(step);
    if (created) db.exec(guardTriggers);
    db.pragma(`application_id = ${applicationId}`);
    db.pragma(`user_version = ${migrations.length}`);
    tell(db, { created, migratedFrom: created ? null : from });
  }).immediate();
}

const versionOf = (db: Database.Database): number => Number(db.pragma('user_version', { simple: true }));

/** FULL must come after WAL: better-sqlite3's build turns it to NORMAL when WAL is switched on. */
function setDurable(db: Database.Database): void {
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  db.pragma('foreign_keys = ON');
  db.pragma('recursive_triggers = ON');
  const journal = db.pragma('journal_mode', { simple: true });
  db.prepare('SELECT 1').get();
  const synchronous = db.pragma('synchronous', { simple: true });
  if (journal !== 'wal' || synchronous !== 2)
    throw new DwellmarkError(
      'refused',
      `commits would not be safe here (journal ${journal}, synchronous ${synchronous})`,
      {
        advice: 'Put the store on a local disk: network file systems cannot promise that a reading is stored.',
      },
    );
}
