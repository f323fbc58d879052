import type { Frame, Style } from '../../../src/cli/screen/frame.js';
import { textWidth } from '../../../src/cli/screen/frame.js';

/** Half-dark ink on a dark ground: how a terminal shows each style. */
const inks: Readonly<Record<Style, { readonly ink: string; readonly ground?: string; readonly bold?: boolean }>> = {
  plain: { ink: '#d7dde2' },
  dim: { ink: '#7d8891' },
  bold: { ink: '#ffffff', bold: true },
  good: { ink: '#5fd787', bold: true },
  bad: { ink: '#ff6b5e', bold: true },
  warn: { ink: '#f2c14e', bold: true },
  accent: { ink: '#56c2d6' },
  alarm: { ink: '#ffffff', ground: '#c0392b', bold: true },
  band: { ink: '#14191d', ground: '#d7dde2', bold: true },
  ask: { ink: '#14191d', ground: '#f2c14e', bold: true },
  'good-band': { ink: '#14191d', ground: '#5fd787', bold: true },
  'warn-band': { ink: '#14191d', ground: '#f2c14e', bold: true },
  'bad-band': { ink: '#ffffff', ground: '#c0392b', bold: true },
};

const cell = { width: 8, height: 16 };
const escaped = (text: string): string => text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;');
/** Dots of a braille cell, by bit: column and row. */
const dotAt = [
  [0, 0],
  [0, 1],
  [0, 2],
  [1, 0],
  [1, 1],
  [1, 2],
  [0, 3],
  [1, 3],
] as const;

/** A screen as a small SVG that needs no font for its figures and its trace: blocks and dots are drawn. */
export function frameSvg({ columns, lines }: Frame): string {
  const [width, height] = [columns * cell.width, lines.length * cell.height];
  const paths = new Map<string, string>();
  const grounds: string[] = [];
  const texts: string[] = [];
  const draw = (ink: string, path: string): void => {
    paths.set(ink, (paths.get(ink) ?? '') + path);
  };
  lines.forEach((line, row) => {
    let column = 0;
    for (const { text, style } of line) {
      const { ink, ground, bold } = inks[style];
      const [x, y] = [column * cell.width, row * cell.height];
      const wide = textWidth(text) * cell.width;
      if (ground) grounds.push(`<path fill="${ground}" d="M${x} ${y}h${wide}v${cell.height}h-${wide}z"/>`);
      let at = x;
      let written = '';
      for (const char of text) {
        const code = char.codePointAt(0) ?? 32;
        if (char === '█') draw(ink, `M${at} ${y}h8v16h-8z`);
        else if (char === '░') draw(`${ink}" fill-opacity="0.25`, `M${at} ${y + 3}h8v10h-8z`);
        else if (code > 0x2800 && code < 0x2900)
          dotAt.forEach(([dx, dy], bit) => {
            if ((code >> bit) & 1) draw(ink, `M${at + 1 + 4 * dx} ${y + 1 + 4 * dy}h2v2h-2z`);
          });
        else {
          written += char;
          at += textWidth(char) * cell.width;
          continue;
        }
        written += ' ';
        at += cell.width;
      }
      const shown = written.trimEnd();
      const lead = shown.length - shown.trimStart().length;
      if (shown.trim() !== '')
        texts.push(
          `<text x="${x + lead * cell.width}" y="${y + 12}" textLength="${textWidth(shown.trimStart()) * cell.width}" fill="${ink}"${bold ? ' font-weight="700"' : ''}>${escaped(shown.trimStart())}</text>`,
        );
      column += textWidth(text);
    }
  });
  const blocks = [...paths].map(([ink, path]) => `<path fill="${ink}" d="${path}"/>`).join('');
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${width + 24}" height="${height + 24}" viewBox="-12 -12 ${width + 24} ${height + 24}" font-family="ui-monospace,Menlo,Consolas,'DejaVu Sans Mono',monospace" font-size="13"><rect x="-12" y="-12" width="${width + 24}" height="${height + 24}" rx="8" fill="#14191d"/>${grounds.join('')}${blocks}<g xml:space="preserve">${texts.join('')}</g></svg>\n`;
}
