import { readSync } from 'node:fs';
import { StringDecoder } from 'node:string_decoder';
import { DwellmarkError } from '../../units/index.js';
import { hiddenLine, type Keyboard } from './hidden-line.js';

const longestBytes = 1024;

export interface PassphraseSource {
  /** Shown before the cursor, e.g. `Passphrase of ada: `. */
  readonly prompt: string;
  /** File descriptor of `--passphrase-fd N`: one line is read from it for each passphrase, and nothing is asked. */
  readonly fd?: number | undefined;
  /** Standard input unless given. */
  readonly keyboard?: Keyboard;
  /** Where the prompt goes, standard error unless given. */
  readonly screen?: { write(text: string): unknown };
}

/**
 * One passphrase, typed without echo or read as one line from a file descriptor. Never from an argument or the
 * environment: other people on the machine can read those.
 *
 * Throws `usage` when nobody can be asked, when the descriptor has no line, and when the person gives up (Ctrl-C).
 */
export async function readPassphrase(source: PassphraseSource): Promise<string> {
  if (source.fd !== undefined) return lineFrom(source.fd);
  const keyboard = source.keyboard ?? process.stdin;
  if (keyboard.isTTY !== true) {
    throw new DwellmarkError('usage', 'a passphrase is needed, and standard input is no terminal to ask on', {
      advice: 'Give it with --passphrase-fd N, e.g. --passphrase-fd 3 3<passphrase-file.',
    });
  }
  const screen = source.screen ?? process.stderr;
  // The echo is off before the prompt invites anyone to type.
  const line = hiddenLine(keyboard);
  screen.write(source.prompt);
  try {
    const typed = await line;
    if (typed === null) throw new DwellmarkError('usage', 'no passphrase was given');
    return typed;
  } finally {
    screen.write('\n');
  }
}

/** A new passphrase: typed twice and the same, or one line of the file descriptor. Throws `input` when they differ. */
export async function readNewPassphrase(source: PassphraseSource): Promise<string> {
  const first = await readPassphrase(source);
  if (source.fd !== undefined) return first;
  const again = await readPassphrase({ ...source, prompt: 'The same once more: ' });
  if (again !== first) throw new DwellmarkError('input', 'the two passphrases differ', { advice: 'Type it again.' });
  return first;
}

/** Byte by byte, so that the next passphrase finds the next line of the same descriptor. */
function lineFrom(fd: number): string {
  const bytes: number[] = [];
  for (;;) {
    const byte = nextByte(fd);
    if (byte === null && bytes.length === 0) {
      throw new DwellmarkError('usage', `file descriptor ${fd} has no passphrase to read`, {
        advice: `Open it in the shell, e.g. --passphrase-fd ${fd} ${fd}<passphrase-file; each passphrase is one line.`,
      });
    }
    if (byte === null || byte === 0x0a) break;
    if (bytes.push(byte) > longestBytes) {
      throw new DwellmarkError('usage', `the line on file descriptor ${fd} is longer than ${longestBytes} bytes`);
    }
  }
  return new StringDecoder('utf8').end(Buffer.from(bytes)).replace(/\r$/, '');
}

function nextByte(fd: number): number | null {
  const byte = Buffer.alloc(1);
  for (;;) {
    try {
      return readSync(fd, byte, 0, 1, null) === 0 ? null : (byte[0] ?? null);
    } catch (cause) {
      const { code } = cause as NodeJS.ErrnoException;
      if (code === 'EOF') return null;
      if (code !== 'EAGAIN') {
        throw new DwellmarkError('usage', `file descriptor ${fd} can't be read (${code})`, { cause });
      }
      // A pipe that is not ready yet: wait 10 ms.
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 10);
    }
  }
}

const fewestCharacters = 12;
const fewestDifferent = 5;

/**
 * What is wrong with a passphrase, to be read after "this passphrase", or null. A floor, no measure of strength:
 * length is what scrypt can't make up for.
 *
 * @example
 * passphraseWeakness('short', { id: 'ada', name: 'Ada Ortmann' }); // 'has 5 characters; at least 12 are wanted'
 */
export function passphraseWeakness(
  passphrase: string,
  person: { readonly id: string; readonly name: string },
): string | null {
  const characters = [...passphrase.normalize('NFKC')];
  if (characters.length < fewestCharacters) {
    return `has ${characters.length} characters; at least ${fewestCharacters} are wanted`;
  }
  if (new Set(characters).size < fewestDifferent) return `repeats fewer than ${fewestDifferent} different characters`;
  const plain = letters(passphrase);
  const own = [person.id, person.name]
    .map(letters)
    .find((word) => word.length > 0 && plain === word.repeat(plain.length / word.length));
  return own === undefined ? null : `is only the person's own name`;
}

function letters(text: string): string {
  return text
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]/gu, '');
}
