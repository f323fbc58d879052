import { DwellmarkError } from './error.js';
import { steering } from './steering.js';

export { withoutSteering } from './steering.js';

/**
 * The first sign of a text that steers instead of showing, by its number; null when there is none.
 * @example steeringSign('Tarn\u0007Quarry') // 'U+0007'
 */
export function steeringSign(text: string): string | null {
  const [found] = steering.exec(text) ?? [];
  return found === undefined ? null : `U+${found.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}`;
}

/** Whether a text stands in one line. */
export const isOneLine = (text: string): boolean => !/[\t\n\r\u2028\u2029]/.test(text);

/**
 * What a person gave by hand and what will be printed, without the blanks around it.
 * @param what what the text is, at the head of the message: `--reason`, `the remark`.
 * @throws DwellmarkError (`usage`) for a control character or a second line.
 * @example oneLine(' wrong cylinder ', '--reason') // 'wrong cylinder'
 */
export function oneLine(text: string, what: string): string {
  const trimmed = text.trim();
  if (steeringSign(trimmed) !== null || !isOneLine(trimmed))
    throw new DwellmarkError('usage', `${what} has a control character in it`, {
      advice: 'Write it on one line, without tabs.',
    });
  return trimmed;
}
