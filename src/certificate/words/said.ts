import { DwellmarkError } from '../../units/index.js';
import type { Language } from '../input.js';
import type { WordKey } from './word-keys.js';

/** The texts of one language. */
export interface Words {
  readonly language: Language;
  /** What the shop words in its own way. */
  readonly changes: WordChanges;
  /** The text of a key with its `{name}`s filled in. */
  say(key: WordKey, values?: Readonly<Record<string, string | number>>): string;
  /** A word of the trade (a part, a leak point, a position) in this language; itself when it is not listed. */
  term(word: string): string;
}

/** Every text of a language as it is shipped, by `section.key`, and the words of the trade. */
export interface WordTexts {
  readonly said: Readonly<Record<string, string>>;
  readonly terms: Readonly<Record<string, string>>;
}

/** The shipped texts of every language. */
export type ShippedTexts = Readonly<Record<Language, WordTexts>>;

/** Texts that a shop words in its own way, by `section.key`, and words that the program does not know. */
export type WordChanges = WordTexts;

export const noChanges: WordChanges = { said: {}, terms: {} };

/** Sections that a shop may word: names of facts and of parts of the page. Figures, verdict and marks are not in them. */
const shopSections: ReadonlySet<string> = new Set(['group', 'label', 'row', 'chart']);
const shopTexts: ReadonlySet<string> = new Set(['sentence.scope', 'sentence.reproduction']);

const isShopText = (key: string): boolean =>
  key !== 'row.verdict' && (shopTexts.has(key) || shopSections.has(key.slice(0, key.indexOf('.'))));

/** Why a shop may not word a text so, or null. */
export function wordingFault(shipped: ShippedTexts, language: Language, key: string, text: string): string | null {
  if (key.startsWith('term.')) {
    const word = key.slice('term.'.length);
    const isKnown = Object.values(shipped).some(({ terms }) => Object.hasOwn(terms, word));
    if (isKnown && text !== shipped[language].terms[word]) return 'is always in the words of the program';
    return !isKnown && namesVerdict(shipped, text) ? 'may not name a verdict or a kind of paper' : null;
  }
  const { said } = shipped[language];
  const original = Object.hasOwn(said, key) ? said[key] : undefined;
  if (original === undefined) return 'is not a text of the certificate';
  if (text === original) return null;
  if (!isShopText(key)) return 'is always in the words of the program';
  if (text.trim() === '') return 'may not be empty';
  if (namesVerdict(shipped, text) && !namesVerdict(shipped, original))
    return 'may not name a verdict or a kind of paper';
  const lost = (original.match(/\{\w+\}/g) ?? []).find((name) => !text.includes(name));
  return lost === undefined ? null : `must keep its ${lost}`;
}

/** Words that a reader takes for the outcome: of verdicts, titles and marks, in every language. */
const outcomeTexts = ['verdict.pass', 'verdict.fail', 'verdict.inconclusive', 'verdict.invalid', 'title.mark-void'];
const titleTexts = ['title.certificate', 'title.test-report'];

function namesVerdict(shipped: ShippedTexts, text: string): boolean {
  const lower = text.toLowerCase();
  const words = Object.values(shipped).flatMap(({ said }) =>
    [...outcomeTexts, ...titleTexts].map((key) => (said[key] ?? '').toLowerCase()),
  );
  return words.some((word) => lower.split(/[^\p{L}\p{N} ]+/u).some((part) => ` ${part}`.includes(` ${word}`)));
}

/** Keys of what a shop words in its own way, in order: `label.customer`, `term.press frame`. */
export const changedKeys = ({ said, terms }: WordChanges): readonly string[] =>
  [...Object.keys(said), ...Object.keys(terms).map((word) => `term.${word}`)].sort();

/**
 * The words of a language with what a shop changed.
 * @throws DwellmarkError (`altered`) for a change that no shop may make.
 */
export function wordsFrom(shipped: ShippedTexts, language: Language, changes: WordChanges = noChanges): Words {
  const given = { ...changes.said, ...termKeys(changes.terms) };
  for (const [key, text] of Object.entries(given)) {
    const fault = wordingFault(shipped, language, key, text);
    if (fault !== null) throw new DwellmarkError('altered', `${key} ${fault}`);
  }
  const said = { ...shipped[language].said, ...changes.said };
  const terms = { ...shipped[language].terms, ...changes.terms };
  return {
    language,
    changes,
    say: (key, values = {}) =>
      (said[key] ?? key).replace(/\{(\w+)\}/g, (whole, name: string) =>
        Object.hasOwn(values, name) ? String(values[name]) : whole,
      ),
    term: (word) => (Object.hasOwn(terms, word) ? (terms[word] ?? word) : word),
  };
}

const termKeys = (terms: WordTexts['terms']): Record<string, string> =>
  Object.fromEntries(Object.entries(terms).map(([word, text]) => [`term.${word}`, text]));
