import { closeSync, constants, fstatSync, openSync, readSync } from 'node:fs';
import { DwellmarkError } from '../../units/index.js';

/** How much of a kind of file is read at most, bytes. */
export const fileLimits = {
  text: 1_000_000,
  picture: 20_000_000,
  attachment: 50_000_000,
  record: 500_000_000,
} as const;

/** A pipe that is silent for so long is given up. */
const silenceMs = 5000;

export interface GivenFile {
  /** As in "the … can't be read": `procedure`, `logo`. */
  readonly what: string;
  readonly most: number;
  readonly key?: string;
}

/**
 * Reads a file that a person named: a plain file or a pipe, up to a size. Devices never end, and a folder is none.
 * @throws DwellmarkError (`input`) for a file that is missing, too large, a device, or a pipe that falls silent.
 */
export function readGivenFile(file: string, { what, most, key }: GivenFile): Buffer {
  const place = key === undefined ? { file } : { file, key };
  const refused = (why: string, advice = 'Check its path.', cause?: unknown): DwellmarkError =>
    new DwellmarkError('input', `the ${what} can't be read: ${why}`, { place, advice, cause });
  let handle: number;
  try {
    handle = openSync(file, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  } catch (cause) {
    throw refused(reasonOf(cause), undefined, cause);
  }
  try {
    const stat = fstatSync(handle);
    if (stat.isDirectory()) throw refused('it is a folder');
    if (!stat.isFile() && !stat.isFIFO()) throw refused('it is a device, not a file');
    const tooLarge = (): DwellmarkError => refused(`it is larger than ${most / 1e6} MB`, `Is this the ${what}?`);
    if (stat.size > most) throw tooLarge();
    const pieces: Buffer[] = [];
    let size = 0;
    for (;;) {
      const piece = Buffer.alloc(65_536);
      const read = readOn(handle, piece);
      if (read === null) throw refused('nothing comes');
      if (read === 0) return Buffer.concat(pieces, size);
      pieces.push(piece.subarray(0, read));
      size += read;
      if (size > most) throw tooLarge();
    }
  } catch (cause) {
    throw cause instanceof DwellmarkError ? cause : refused(reasonOf(cause), undefined, cause);
  } finally {
    closeSync(handle);
  }
}

/** The same as text. */
export const readGivenText = (file: string, given: GivenFile): string => readGivenFile(file, given).toString('utf8');

/** Bytes read, 0 at the end, null when a pipe stays silent. */
function readOn(handle: number, into: Buffer): number | null {
  for (const until = Date.now() + silenceMs; ; ) {
    try {
      return readSync(handle, into, 0, into.length, null);
    } catch (cause) {
      const { code } = cause as NodeJS.ErrnoException;
      if (code === 'EOF') return 0;
      if (code !== 'EAGAIN') throw cause;
      if (Date.now() > until) return null;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 10);
    }
  }
}

function reasonOf(cause: unknown): string {
  const code = (cause as NodeJS.ErrnoException).code ?? '';
  if (code === 'ENOENT' || code === 'ENOTDIR') return 'there is no such file';
  if (code === 'EACCES' || code === 'EPERM') return 'you may not read it';
  return code === '' ? String(cause) : code;
}
