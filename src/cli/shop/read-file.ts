import { readFileSync } from 'node:fs';
import path from 'node:path';
import { DwellmarkError } from '../../units/index.js';

/** A procedure file's text. @throws DwellmarkError (`input`) when it can't be read. */
export function readProcedureFile(file: string): string {
  try {
    return readFileSync(path.resolve(file), 'utf8');
  } catch (cause) {
    throw new DwellmarkError('input', "the procedure can't be read", {
      place: { file },
      advice: 'Check its path.',
      cause,
    });
  }
}
