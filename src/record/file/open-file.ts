import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import Database from 'better-sqlite3';
import { DwellmarkError } from '../../units/index.js';
import { guardTriggers } from './guards.js';
import { applicationId, migrations } from './schema.js';
import { storageError } from './storage-error.js';
import { takeWriterLock, type WriterLock } from './writer-lock.js';

export interface OpenFile {
  readonly db: Database.Database;
  /** The file was made by this call. */
  readonly created: boolean;
  /** Version the file had before, when it was brought up to this program's. */
  readonly migratedFrom: number | null;
  close(): void;
}

/**
 * Opens the store's file. To write: takes the writer's lock, makes or migrates the file, and asserts that every commit
 * will be on disk when it returns (WAL, synchronous FULL). To read: alters nothing, beside a running writer too.
 * @throws DwellmarkError for a file that is missing, no store, or of a newer version.
 */
export function openFile(path: string, mode: 'write' | 'read'): OpenFile {
  return mode === 'write' ? openToWrite(path) : openToRead(path);
}

function openToWrite(path: string): OpenFile {
  const lock = takeWriterLock(path);
  try {
    const db = new Database(path);
    try {
      const created = db.pragma('page_count', { simple: true }) === 0;
      if (!created) demandStore(db, path);
      const migratedFrom = migrate(db, created);
      setDurable(db);
      return { db, created, migratedFrom, close: () => closeWriter(db, lock) };
    } catch (cause) {
      db.close();
      throw cause;
    }
  } catch (cause) {
    lock.release();
    throw storageError(cause, path);
  }
}

function closeWriter(db: Database.Database, lock: WriterLock): void {
  try {
    db.close();
  } finally {
    lock.release();
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
      return { db, created: false, migratedFrom: null, close: () => db.close() };
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

function migrate(db: Database.Database, created: boolean): number | null {
  const from = created ? 0 : Number(db.pragma('user_version', { simple: true }));
  if (from === migrations.length) return null;
  db.transaction(() => {
    for (const step of migrations.slice(from)) db.exec(step);
    if (created) db.exec(guardTriggers);
    db.pragma(`application_id = ${applicationId}`);
    db.pragma(`user_version = ${migrations.length}`);
  })();
  return created ? null : from;
}

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
