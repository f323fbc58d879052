import type { Verdict } from '../../evaluation/index.js';
import type { VerdictText } from '../content/content.js';
import type { Block } from '../pages/flow.js';
import { ink, type Sheet } from '../pages/sheet.js';

/** Told apart by word and by fill as well as by colour: a pass is filled, everything else is an outline. */
const verdictColour: Readonly<Record<Verdict | 'void', string>> = {
  pass: '#0f5c4d',
  fail: '#9c2f0c',
  inconclusive: '#6a5500',
  invalid: '#4a4f57',
  void: '#4a4f57',
};

export function verdictBlock(sheet: Sheet, verdict: VerdictText, width: number): Block {
  const colour = verdictColour[verdict.verdict];
  const wordStyle = { font: 'bold', size: 13 } as const;
  const boxWidth = Math.max(92, sheet.width(verdict.word, wordStyle) + 20);
  const textLeft = boxWidth + 10;
  const strong = { font: 'bold' } as const;
  const sentence = sheet.wrap(verdict.sentence, width - textLeft - 4, strong);
  const lines = verdict.lines.flatMap((line) => sheet.wrap(line, width - textLeft - 4));
  const lineHeight = sheet.lineHeight();
  const height = Math.max(28, (sentence.length + lines.length) * lineHeight + 9);
  return {
    height,
    bookmark: verdict.word,
    draw: (x, y) => {
      sheet.artifact(() => {
        const { pdf } = sheet;
        pdf
          .lineWidth(1)
          .strokeColor(colour)
          .rect(x + 0.5, y + 0.5, width - 1, height - 1)
          .stroke();
        pdf.rect(x, y, boxWidth, height);
        if (verdict.verdict === 'pass') pdf.fillColor(colour).fill();
        else pdf.lineWidth(1.5).strokeColor(colour).stroke();
      });
      sheet.tag('H2', () => {
        const left = x + (boxWidth - sheet.width(verdict.word, wordStyle)) / 2;
        const top = y + (height - wordStyle.size * 1.28) / 2;
        sheet.write(verdict.word, left, top, { ...wordStyle, colour: verdict.verdict === 'pass' ? '#ffffff' : colour });
      });
      sheet.tag('P', () => {
        const top = y + (height - (sentence.length + lines.length) * lineHeight) / 2;
        for (const [index, text] of [...sentence, ...lines].entries())
          sheet.write(text, x + textLeft, top + index * lineHeight, {
            ...(index < sentence.length ? { ...strong, colour } : { colour: ink }),
          });
      });
    },
  };
}
