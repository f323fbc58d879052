import Database from 'better-sqlite3';
import { DwellmarkError } from '../../units/index.js';

/** What SQLite's own errors mean to the person at the bench. Anything else is handed on as it is. */
export function storageError(cause: unknown, path: string): unknown {
  if (!(cause instanceof Database.SqliteError)) return cause;
  const told = explanations.find(({ code }) => cause.code.startsWith(code));
  if (!told) return new DwellmarkError('input', `the store failed: ${cause.message}`, { place: { file: path }, cause });
  return new DwellmarkError(told.as, told.message, { place: { file: path }, advice: told.advice, cause });
}

/** Another process holds the file just now. */
export const isBusy = (cause: unknown): boolean =>
  cause instanceof Database.SqliteError && cause.code.startsWith('SQLITE_BUSY');

const explanations = [
  {
    code: 'SQLITE_FULL',
    as: 'refused',
    message: 'the disk is full: the last readings are not stored',
    advice: 'Make room; everything reported as stored is on disk.',
  },
  {
    code: 'SQLITE_IOERR',
    as: 'refused',
    message: 'the disk failed while the store was read or written',
    advice: 'Check the disk and its room; then run `dwellmark verify --all`.',
  },
  {
    code: 'SQLITE_READONLY',
    as: 'refused',
    message: 'the store may not be written (read-only file, folder or disk)',
    advice: 'Give yourself the right to write to the file and its folder.',
  },
  {
    code: 'SQLITE_CANTOPEN',
    as: 'input',
    message: 'the store cannot be opened',
    advice: 'Check the path and your right to read it.',
  },
  {
    code: 'SQLITE_BUSY',
    as: 'refused',
    message: 'another program is using the store',
    advice: 'Close it and try again.',
  },
  {
    code: 'SQLITE_NOTADB',
    as: 'input',
    message: 'this file is not a dwellmark store',
    advice: 'Check the path; a damaged file starts with other bytes than a store does.',
  },
  {
    code: 'SQLITE_CORRUPT',
    as: 'altered',
    message: 'the store is damaged',
    advice: 'Stop writing to it, copy it as it is, and go back to the last backup.',
  },
  {
    code: 'SQLITE_CONSTRAINT',
    as: 'refused',
    message: 'the record is append-only: this would change or double a stored entry',
    advice: 'A correction is a new entry that names the old one.',
  },
] as const;
