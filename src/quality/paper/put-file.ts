import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync, statSync, writeSync } from 'node:fs';
import path from 'node:path';
import { DwellmarkError } from '../../units/index.js';

/** A file that lies whole on the disk, beside the place it is meant for, and takes it at once. */
export interface WaitingFile {
  readonly file: string;
  place(): void;
  discard(): void;
}

/**
 * Refuses a place where a file can't be put, before anything is done for it.
 * @throws DwellmarkError (`refused`) when a file is there already, (`input`) when its folder is not.
 */
export function demandFreePlace(file: string): void {
  if (existsSync(file))
    throw new DwellmarkError('refused', 'there is a file already, and an issued paper is not written over', {
      place: { file },
      advice: 'Name another file with -o, or move that one.',
    });
  const folder = path.dirname(file);
  if (!existsSync(folder) || !statSync(folder).isDirectory())
    throw new DwellmarkError('input', 'there is no such folder', {
      place: { file: folder },
      advice: 'Make it, or name another with -o.',
    });
}

/**
 * Writes the bytes under a passing name and sees them onto the disk. Nothing is seen at `file` until `place`.
 * @throws DwellmarkError (`input`) when the disk does not take them; nothing is left behind then.
 */
export function waitingFile(file: string, bytes: Uint8Array): WaitingFile {
  const passing = passingName(file);
  const discard = (): void => rmSync(passing, { force: true });
  try {
    const handle = openSync(passing, 'wx');
    try {
      for (let written = 0; written < bytes.length; ) written += writeSync(handle, bytes, written);
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
  } catch (cause) {
    discard();
    throw unwritable(file, cause);
  }
  return {
    file,
    discard,
    place: () => {
      try {
        renameSync(passing, file);
      } catch (cause) {
        discard();
        throw unwritable(file, cause);
      }
    },
  };
}

/** The name that a file waits under: hidden, and with the process that wrote it. */
const passingName = (file: string): string =>
  path.join(path.dirname(file), `.${path.basename(file)}.${process.pid}.part`);

/** Several files that wait together: all of them, or none. */
export function waitingFiles(contents: ReadonlyMap<string, Uint8Array>): readonly WaitingFile[] {
  const waiting: WaitingFile[] = [];
  try {
    for (const [file, bytes] of contents) waiting.push(waitingFile(file, bytes));
  } catch (error) {
    for (const one of waiting) one.discard();
    throw error;
  }
  return waiting;
}

const unwritable = (file: string, cause: unknown): DwellmarkError =>
  new DwellmarkError(
    'input',
    `the file can't be written: ${(cause as NodeJS.ErrnoException).code ?? (cause as Error).message}`,
    { place: { file }, advice: 'Name another place with -o.', cause },
  );
