import { passphraseWeakness, readNewPassphrase } from '../../signing/index.js';
import { DwellmarkError } from '../../units/index.js';
import { remark } from '../output.js';

/**
 * A new passphrase that will do, before anything is written. On a terminal it is asked for until it does; from a file
 * descriptor it is taken once.
 * @param before the passphrase that the descriptor gave before: where it has no further line, this one serves again.
 * @throws DwellmarkError (`input`) for a weak one from a descriptor, (`usage`) when nobody can be asked.
 */
export async function acceptablePassphrase(
  prompt: string,
  person: { readonly id: string; readonly name: string },
  fd: number | undefined,
  before?: string,
): Promise<string> {
  for (;;) {
    try {
      const words = await readNewPassphrase({ prompt, fd }).catch((error: unknown) => {
        if (fd === undefined || before === undefined) throw error;
        return before;
      });
      const weakness = passphraseWeakness(words, person);
      if (weakness === null) return words;
      throw new DwellmarkError('input', `the passphrase ${weakness}`, { advice: 'Several plain words will do.' });
    } catch (error) {
      if (fd !== undefined || !(error instanceof DwellmarkError) || error.code !== 'input') throw error;
      remark(`${error.message}. Once more, please; Ctrl-C leaves.`);
    }
  }
}
