import path from 'node:path';
import { fileLimits, readGivenText } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';

/** A procedure file's text. @throws DwellmarkError (`input`) when it can't be read. */
export const readProcedureFile = (file: string): string =>
  readGivenText(path.resolve(file), { what: 'procedure', most: fileLimits.text });

/**
 * Reads a file that claims to be a record. Whatever in it is not of the form that it claims, however odd, is the
 * file's fault. @throws DwellmarkError (`altered`).
 */
export async function asClaimed<T>(file: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (cause) {
    if (cause instanceof DwellmarkError) throw cause;
    throw new DwellmarkError('altered', 'this file is not in the form that it claims to have', {
      place: { file },
      advice: 'Ask for it again where it came from.',
      cause,
    });
  }
}
