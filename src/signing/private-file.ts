import { closeSync, fsyncSync, linkSync, mkdirSync, openSync, renameSync, rmSync, writeSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { DwellmarkError } from '../units/index.js';

/** Only the owner may list or enter. */
const folderMode = 0o700;
/** Only the owner may read or write. */
const fileMode = 0o600;

/** Makes the folder if it is missing, readable by its owner only. */
export function makePrivateFolder(dir: string): void {
  try {
    mkdirSync(dir, { recursive: true, mode: folderMode });
  } catch (error) {
    throw unwritable(dir, error);
  }
}

/**
 * Writes the whole file or leaves the old one: into a file beside it, to the disk, then over it. Readable by its
 * owner only from the first byte on.
 */
export function writePrivateFile(path: string, content: string | Uint8Array): void {
  throughDraft(path, content, (draft) => renameSync(draft, path));
}

/** The same for a file that must not exist yet; throws Node's `EEXIST` when it does. */
export function writeNewPrivateFile(path: string, content: string | Uint8Array): void {
  throughDraft(path, content, (draft) => {
    if (!linked(draft, path)) {
      closeSync(openSync(path, 'wx', fileMode));
      renameSync(draft, path);
    }
  });
}

/** False where the file system has no links (exFAT, some network folders). */
function linked(draft: string, path: string): boolean {
  try {
    linkSync(draft, path);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') throw error;
    return false;
  }
  rmSync(draft);
  return true;
}

function throughDraft(path: string, content: string | Uint8Array, put: (draft: string) => void): void {
  const draft = join(dirname(path), `.${basename(path)}.${process.pid}.new`);
  try {
    writeThrough(draft, content);
    put(draft);
  } catch (error) {
    discard(draft);
    throw unwritable(path, error);
  }
  flushFolder(dirname(path));
}

function discard(draft: string): void {
  try {
    rmSync(draft, { force: true });
  } catch {
    // The folder can't be written at all, and the error that led here says so.
  }
}

/** A full disk or a folder without permission is for the person to mend; `EEXIST` is for the caller. */
function unwritable(file: string, error: unknown): unknown {
  const { code } = error as NodeJS.ErrnoException;
  if (code === undefined || code === 'EEXIST') return error;
  return new DwellmarkError('input', `this can't be written (${code})`, { place: { file }, cause: error });
}

function writeThrough(path: string, content: string | Uint8Array): void {
  const file = openSync(path, 'w', fileMode);
  try {
    const bytes = typeof content === 'string' ? Buffer.from(content, 'utf8') : content;
    for (let written = 0; written < bytes.length; ) written += writeSync(file, bytes, written);
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}

/** A rename is on the disk only when the folder is; some systems can't open a folder, and there it is left out. */
function flushFolder(dir: string): void {
  let folder: number;
  try {
    folder = openSync(dir, 'r');
  } catch {
    return;
  }
  try {
    fsyncSync(folder);
  } catch {
    // Windows opens folders but does not flush them.
  } finally {
    closeSync(folder);
  }
}
