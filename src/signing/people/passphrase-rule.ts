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
