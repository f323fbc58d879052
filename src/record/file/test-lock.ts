import { existsSync, rmSync } from 'node:fs';
import Database from 'better-sqlite3';
import { DwellmarkError } from '../../units/index.js';
import { isBusy } from './storage-error.js';

/** The right to write one test, held by one process as long as the test runs. */
export interface TestLock {
  /** Lets it go; a test that is sealed needs none any more, and its lock file goes too. */
  release(sealed: boolean): void;
}

/**
 * Takes the right to write a test. The lock is an exclusive transaction on a file of its own beside the store
 * (`…-test-T-2026-0007`): the operating system lets it go when the process dies, however it dies. Everything else in the
 * store goes on beside it.
 * @throws DwellmarkError (`refused`) when another holds it.
 */
export function lockTest(storePath: string, test: string): TestLock {
  const file = lockFile(storePath, test);
  const lock = held(file, false);
  if (lock === null)
    throw new DwellmarkError('refused', `test ${test} is being written by another dwellmark`, {
      place: { file: storePath },
      advice: `Wait until it is done, or follow it with \`dwellmark watch ${test}\`.`,
    });
  return {
    release: (sealed) => {
      const removed = sealed && remove(file);
      lock.close();
      // Windows removes no open file. Now it may be another's, who asks whether the test is being written: it stays then.
      if (sealed && !removed) remove(file);
    },
  };
}

/** Whether some process is writing a test now. */
export function isTestLocked(storePath: string, test: string): boolean {
  const file = lockFile(storePath, test);
  if (!existsSync(file)) return false;
  try {
    const lock = held(file, true);
    lock?.close();
    return lock === null;
  } catch (cause) {
    if (!existsSync(file)) return false;
    throw cause;
  }
}

function remove(file: string): boolean {
  try {
    rmSync(file, { force: true });
    return true;
  } catch {
    return false;
  }
}

const lockFile = (storePath: string, test: string): string => `${storePath}-test-${encodeURIComponent(test)}`;

/** The lock, or null when another holds it. */
function held(file: string, fileMustExist: boolean): Database.Database | null {
  for (;;) {
    let lock: Database.Database | undefined;
    try {
      lock = new Database(file, { timeout: 0, fileMustExist });
      lock.exec('BEGIN EXCLUSIVE');
      return lock;
    } catch (cause) {
      lock?.close();
      if (isBusy(cause)) return null;
      // Its holder sealed the test in this very moment, and took the file away.
      const vanished = cause instanceof Database.SqliteError && !existsSync(file);
      if (!vanished || fileMustExist) throw cause;
    }
  }
}
