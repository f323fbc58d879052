import Database from 'better-sqlite3';
import { DwellmarkError } from '../../units/index.js';

/** Held by the one process that may write. */
export interface WriterLock {
  release(): void;
}

/**
 * Takes the right to write. The lock is an exclusive transaction on a file of its own beside the store
 * (`…-writer`): the operating system lets it go when the process dies, however it dies, and readers are not held up.
 * @throws DwellmarkError (`refused`) when another process holds it.
 */
export function takeWriterLock(storePath: string): WriterLock {
  const lockPath = `${storePath}-writer`;
  let lock: Database.Database | undefined;
  try {
    lock = new Database(lockPath, { timeout: 0 });
    lock.exec('BEGIN EXCLUSIVE');
  } catch (cause) {
    lock?.close();
    const code = cause instanceof Database.SqliteError ? cause.code : '';
    if (code.startsWith('SQLITE_BUSY'))
      throw new DwellmarkError('refused', 'another dwellmark is writing to this store', {
        place: { file: storePath },
        advice: 'Wait until that test or command is done; reading (list, show, verify) works meanwhile.',
        cause,
      });
    throw new DwellmarkError('input', 'the store cannot be written: its lock file cannot be made', {
      place: { file: lockPath },
      advice: 'Check that the folder exists and that you may write in it.',
      cause,
    });
  }
  const held = lock;
  return { release: () => held.close() };
}
