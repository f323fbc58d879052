import { cutLine, type Frame, type Line, lineWidth, type Style } from './frame.js';

/** What the terminal can show. */
export interface Terms {
  /** False when `NO_COLOR` is set or the terminal is dumb: weight and reversal alone then. */
  readonly colour: boolean;
  /** False where the locale is not UTF-8: everything in ASCII then. */
  readonly unicode: boolean;
  /** Lines follow one another, and nothing can be put in its place: words alone, no big figures, no chart. */
  readonly plain?: boolean;
}

const coloured: Readonly<Record<Style, string>> = {
  plain: '',
  dim: '2',
  bold: '1',
  good: '1;32',
  bad: '1;31',
  warn: '1;33',
  accent: '36',
  alarm: '1;37;41',
  band: '7',
  ask: '1;30;43',
  'good-band': '1;30;42',
  'warn-band': '1;30;43',
  'bad-band': '1;37;41',
};

const colourless: Readonly<Record<Style, string>> = {
  plain: '',
  dim: '2',
  bold: '1',
  good: '1',
  bad: '1;4',
  warn: '1',
  accent: '',
  alarm: '1;7',
  band: '7',
  ask: '1;7',
  'good-band': '1;7',
  'warn-band': '1;7',
  'bad-band': '1;7',
};

/** What this terminal can show, from its environment. */
export function termsOf(env: Readonly<Record<string, string | undefined>>, platform: string): Terms {
  const locale = env.LC_ALL || env.LC_CTYPE || env.LANG || '';
  const unicode = platform === 'win32' ? env.WT_SESSION !== undefined : /utf-?8/i.test(locale) && env.TERM !== 'linux';
  const plain = env.TERM === 'dumb';
  return { colour: !env.NO_COLOR && !plain, unicode, plain };
}

/** A line as bytes for the terminal. */
export function paintLine(line: Line, terms: Terms): string {
  const codes = terms.colour ? coloured : colourless;
  return (terms.unicode ? line : inAscii(line))
    .map(({ text: shown, style }) => {
      const code = codes[style];
      return code === '' ? shown : `\u001b[${code}m${shown}\u001b[0m`;
    })
    .join('');
}

/** Two signs for plus or minus, which one alone would turn into another figure; a blank at the end makes room for it. */
function inAscii(line: Line): Line {
  let more = line.reduce((sum, { text }) => sum + text.split('±').length - 1, 0);
  return line
    .toReversed()
    .map(({ text, style }) => {
      let shown = text.split('±').map(toAscii).join('+-');
      while (more > 0 && shown.endsWith(' ')) {
        shown = shown.slice(0, -1);
        more -= 1;
      }
      if (shown !== '') more = 0;
      return { text: shown, style };
    })
    .toReversed();
}

const asciiOf: Readonly<Record<string, string>> = {
  '█': '#',
  '▀': '#',
  '▄': '#',
  '░': '.',
  '─': '-',
  '━': '=',
  '╌': '-',
  '│': '|',
  '└': '+',
  '┤': '|',
  '▶': '>',
  '←': '<',
  '→': '>',
  '●': '*',
  '○': 'o',
  '·': '.',
  '…': '~',
  '−': '-',
  '±': '+',
  '°': "'",
  '²': '2',
  '³': '3',
  '×': 'x',
  µ: 'u',
  '\u00a0': ' ',
  '⏎': ' ',
};

/** The same text in ASCII, as wide as before; a letter without its accents. */
export const toAscii = (text: string): string =>
  text.replace(/[^\x20-\x7e]/gu, (char) => {
    const known = asciiOf[char];
    if (known !== undefined) return known;
    const plain = char.normalize('NFKD').replace(/[^\x20-\x7e]/gu, '');
    return plain.length === 1 ? plain : '?';
  });

/** A frame as plain text, for tests and for whoever can't see it. */
export const frameText = (frame: Frame): string[] =>
  frame.lines.map((line) =>
    line
      .map(({ text }) => text)
      .join('')
      .trimEnd(),
  );

/** Every line at most as wide as the frame, and as many as it has rows. */
export function fitFrame(lines: readonly Line[], columns: number, rows: number): Frame {
  const shown = lines.slice(0, rows).map((line) => (lineWidth(line) > columns ? cutLine(line, columns) : line));
  while (shown.length < rows) shown.push([]);
  return { columns, lines: shown };
}
