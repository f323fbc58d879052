/** How a piece of text stands out. What each is painted as is decided in one place, {@link paintLine}. */
export type Style =
  | 'plain'
  | 'dim'
  | 'bold'
  | 'good'
  | 'bad'
  | 'warn'
  | 'accent'
  | 'alarm'
  | 'band'
  /** The one thing to do now. */
  | 'ask'
  /** Words that must be seen from afar, on a ground of their own. */
  | 'good-band'
  | 'warn-band'
  | 'bad-band';

export interface Span {
  readonly text: string;
  readonly style: Style;
}

/** A line of a screen: pieces of text, left to right. */
export type Line = readonly Span[];

/** A whole screen: as many lines as it has rows, each of its full width at most. */
export interface Frame {
  readonly columns: number;
  readonly lines: readonly Line[];
}

export const span = (text: string, style: Style = 'plain'): Span => ({ text, style });

const combining = /\p{Mark}|\p{Default_Ignorable_Code_Point}/u;

/** Columns that a character takes: two for wide ones of East Asia and for pictures, none for marks that combine. */
function charWidth(char: string): number {
  const code = char.codePointAt(0) ?? 0;
  if (code < 0x300) return 1;
  if (combining.test(char)) return 0;
  const wide =
    (code >= 0x1100 && code <= 0x115f) ||
    (code >= 0x2e80 && code <= 0xa4cf) ||
    (code >= 0xac00 && code <= 0xd7a3) ||
    (code >= 0xf900 && code <= 0xfaff) ||
    (code >= 0xfe30 && code <= 0xfe6f) ||
    (code >= 0xff00 && code <= 0xff60) ||
    (code >= 0xffe0 && code <= 0xffe6) ||
    (code >= 0x1f300 && code <= 0x1faff) ||
    (code >= 0x20000 && code <= 0x3fffd);
  return wide ? 2 : 1;
}

/** Columns that a text takes. @example textWidth('Ø 12') // 4 */
export function textWidth(text: string): number {
  let width = 0;
  for (const char of text) width += charWidth(char);
  return width;
}

export const lineWidth = (line: Line): number => line.reduce((sum, { text }) => sum + textWidth(text), 0);

/** Text from a file or a gauge, with nothing in it that a terminal would obey. */
export const harmless = (text: string): string =>
  text.replace(/\p{Control}/gu, ' ').replace(/[\u202a-\u202e\u2066-\u2069]/g, '');

/** At most so many columns, an ellipsis at the end of what was cut. */
export function cut(text: string, width: number, ellipsis = '…'): string {
  if (textWidth(text) <= width) return text;
  let kept = '';
  let used = 0;
  for (const char of text) {
    const wide = charWidth(char);
    if (used + wide > width - 1) break;
    kept += char;
    used += wide;
  }
  return width <= 0 ? '' : kept + ellipsis;
}

export const padTo = (text: string, width: number): string => text + ' '.repeat(Math.max(0, width - textWidth(text)));

/** A line cut to a width: what does not fit is left away from the right. */
export function cutLine(line: Line, width: number): Line {
  const kept: Span[] = [];
  let left = width;
  for (const piece of line) {
    if (left <= 0) break;
    const text = cut(piece.text, left);
    kept.push({ text, style: piece.style });
    left -= textWidth(text);
  }
  return kept;
}

/** Two halves of a line, the second against the right edge; the first gives way. */
export function spread(left: Line, right: Line, width: number): Line {
  const room = Math.max(0, width - lineWidth(right) - 1);
  const shown = cutLine(left, room);
  return cutLine(
    [...shown, span(' '.repeat(Math.max(1, width - lineWidth(shown) - lineWidth(right)))), ...right],
    width,
  );
}

/** Breaks a text at its spaces into lines of at most `width` columns, and cuts after `most` of them. */
export function wrapText(text: string, width: number, most = Number.POSITIVE_INFINITY): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && textWidth(line) + 1 + textWidth(word) > width) {
      lines.push(line);
      line = word;
    } else line += line === '' ? word : ` ${word}`;
  }
  if (line !== '') lines.push(line);
  const shown = lines.slice(0, most);
  const last = shown.length - 1;
  if (lines.length > most && last >= 0) shown[last] = cut(`${shown[last]} ……`, width);
  return shown.map((shownLine) => cut(shownLine, width));
}
