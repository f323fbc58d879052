import { readStatus } from '../wire/status-word.js';
import type { LineToken } from './line-token.js';

/** Several instruments that take turns on one line. */
export interface Turns {
  /** Whose turn each line is. */
  readonly ofLine: readonly string[];
  readonly addresses: readonly string[];
}

const isAddress = ({ kind, text }: LineToken): boolean =>
  kind === 'word' ? readStatus(text) === undefined && text.length <= 8 : kind === 'number' && /^\d{1,4}$/.test(text);

/**
 * Whether a word or a whole number before the values takes turns: the same two to eight in the same order over and
 * over. Null when none does.
 */
export function turnsOf(lines: readonly (readonly LineToken[])[]): Turns | null {
  const rows = lines.map((tokens) => tokens.filter(({ kind }) => kind !== 'blank'));
  for (const place of [0, 1, 2, 3]) {
    const at = rows.map((row) => row[place]);
    if (!at.every((token) => token !== undefined && isAddress(token))) continue;
    const ofLine = at.map((token) => token?.text ?? '');
    const addresses = [...new Set(ofLine)];
    const period = addresses.length;
    if (period < 2 || period > 8 || lines.length < 2 * period) continue;
    if (!ofLine.every((text, index) => text === ofLine[index % period])) continue;
    const valuesFollow = rows.every((row) => row.slice(place + 1).some(({ kind }) => kind === 'number'));
    if (valuesFollow) return { ofLine, addresses: addresses.sort() };
  }
  return null;
}
