import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { DwellmarkError } from '../units/index.js';

/** A folder of its own among the temporary files; whoever makes it removes it. @throws DwellmarkError (`input`). */
export function passingFolder(): string {
  try {
    return mkdtempSync(path.join(tmpdir(), 'dwellmark-'));
  } catch (cause) {
    throw new DwellmarkError('input', 'no temporary file can be written', {
      place: { file: tmpdir() },
      advice: 'Make that folder, or name another in TMPDIR.',
      cause,
    });
  }
}
