import { existsSync, renameSync, rmSync } from 'node:fs';
import type Database from 'better-sqlite3';
import { DwellmarkError } from '../../units/index.js';
import { storageError } from './storage-error.js';

/** Pages that a store copies at a time while it may also write: a hundredth of a second at most. */
const pagesAtATime = 250;

/**
 * Copies the whole database while others may write to it. A connection that only reads copies all in one go, as one
 * state of the file; one that writes too copies in steps between its commits, which the copy follows. The copy takes
 * its name when it is whole.
 * @throws DwellmarkError (`refused`) for a file that is there already, or a disk that is full.
 */
export async function copyFile(db: Database.Database, path: string, mayWrite: boolean): Promise<void> {
  if (existsSync(path))
    throw new DwellmarkError('refused', 'there is a file of that name already', {
      place: { file: path },
      advice: 'Give the copy a name of its own: a backup never takes the place of an older one.',
    });
  const unfinished = `${path}.unfinished`;
  try {
    await db.backup(unfinished, { progress: ({ totalPages }) => (mayWrite ? pagesAtATime : totalPages) });
    renameSync(unfinished, path);
  } catch (cause) {
    rmSync(unfinished, { force: true });
    if (cause instanceof TypeError)
      throw new DwellmarkError('input', 'the copy cannot be written there', {
        place: { file: path },
        advice: 'Check that the folder exists and that you may write in it.',
        cause,
      });
    throw storageError(cause, path);
  }
}
