import type { Block } from '../pages/flow.js';
import { quiet, type Sheet } from '../pages/sheet.js';

/** A paragraph longer than this is set in several pieces, so that it can go over to the next page. */
const linesTogether = 14;

/** Paragraphs one below the other, the first under a title when one is given. */
export function paragraphs(
  sheet: Sheet,
  title: string | null,
  texts: readonly string[],
  width: number,
  style: 'body' | 'small' = 'body',
): readonly Block[] {
  const size = style === 'small' ? sheet.small : sheet.body;
  const colour = style === 'small' ? { colour: quiet } : {};
  const lineHeight = sheet.lineHeight(size);
  const pieces = texts.flatMap((text) => chunks(sheet.wrap(text, width, { size })));
  return pieces.map((lines, index): Block => {
    const heading = index === 0 ? title : null;
    const titleHeight = heading === null ? 0 : sheet.lineHeight(sheet.body) + 3;
    return {
      height: titleHeight + lines.length * lineHeight,
      ...(index === 0 ? {} : { gap: 0.8 }),
      ...(heading === null ? {} : { bookmark: heading }),
      draw: (x, y) => {
        if (heading !== null) {
          sheet.tag('H2', () => sheet.write(heading, x, y, { font: 'bold', colour: sheet.accent }));
          sheet.rule(x, y + sheet.lineHeight(sheet.body) + 0.5, width, 0.5, sheet.accent);
        }
        sheet.tag('P', () => {
          for (const [line, text] of lines.entries())
            sheet.write(text, x, y + titleHeight + line * lineHeight, { size, ...colour });
        });
      },
    };
  });
}

function chunks(lines: readonly string[]): readonly (readonly string[])[] {
  const pieces: (readonly string[])[] = [];
  for (let start = 0; start < lines.length; start += linesTogether)
    pieces.push(lines.slice(start, start + linesTogether));
  return pieces;
}
