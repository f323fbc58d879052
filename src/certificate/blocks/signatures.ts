import type { SignatureText } from '../content/content.js';
import type { Block } from '../pages/flow.js';
import { quiet, type Sheet } from '../pages/sheet.js';

const perRow = 3;
const gap = 14;

/** Signatures side by side: meaning, printed name, standing, date and time, and the key it was made with. */
export function signatureBlocks(
  sheet: Sheet,
  title: string,
  signatures: readonly SignatureText[],
  none: string,
  width: number,
): readonly Block[] {
  if (signatures.length === 0) return [row(sheet, title, [], none, width)];
  const blocks: Block[] = [];
  for (let start = 0; start < signatures.length; start += perRow)
    blocks.push(row(sheet, start === 0 ? title : null, signatures.slice(start, start + perRow), none, width));
  return blocks;
}

function row(
  sheet: Sheet,
  title: string | null,
  signatures: readonly SignatureText[],
  none: string,
  width: number,
): Block {
  const columnWidth = (width - gap * (perRow - 1)) / perRow;
  const lineHeight = sheet.lineHeight();
  const titleHeight = title === null ? 0 : lineHeight + 3;
  const set = signatures.map((signature) => linesOf(sheet, signature, columnWidth));
  const deepest = Math.max(1, ...set.map((lines) => lines.length));
  return {
    height: titleHeight + deepest * lineHeight,
    ...(title === null ? {} : { bookmark: title }),
    draw: (x, y) => {
      if (title !== null) {
        sheet.tag('H2', () => sheet.write(title, x, y, { font: 'bold', colour: sheet.accent }));
        sheet.rule(x, y + lineHeight + 0.5, width, 0.5, sheet.accent);
      }
      const top = y + titleHeight;
      if (set.length === 0) sheet.tag('P', () => sheet.write(none, x, top, { font: 'bold' }));
      for (const [index, lines] of set.entries())
        sheet.tag('P', () => {
          for (const [line, { text, style }] of lines.entries())
            sheet.write(text, x + index * (columnWidth + gap), top + line * lineHeight, style);
        });
    },
  };
}

interface SetLine {
  readonly text: string;
  readonly style: { readonly font?: 'bold'; readonly size?: number; readonly colour?: string };
}

function linesOf(sheet: Sheet, signature: SignatureText, width: number): readonly SetLine[] {
  const set = (text: string, style: SetLine['style']): readonly SetLine[] =>
    text === '' ? [] : sheet.wrap(text, width, style).map((line) => ({ text: line, style }));
  return [
    ...set(signature.meaning, { colour: quiet }),
    ...set(signature.name, { font: 'bold', size: sheet.body + 0.8 }),
    ...set(signature.standing, {}),
    ...set(signature.signedAt, {}),
    ...set(signature.remark, {}),
    ...set(signature.key, { size: sheet.small, colour: quiet }),
  ];
}
