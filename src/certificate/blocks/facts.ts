import type { FactGroup } from '../content/content.js';
import type { Block } from '../pages/flow.js';
import { quiet, type Sheet } from '../pages/sheet.js';

const columnGap = 14;
const afterLabel = 6;

/** Groups of labelled facts side by side, each under its title and a rule; `shares` of the width, equal when absent. */
export function factColumns(
  sheet: Sheet,
  groups: readonly FactGroup[],
  width: number,
  shares: readonly number[] = groups.map(() => 1),
): Block {
  const size = sheet.body;
  const labels = groups.flatMap((group) => group.facts.map((fact) => sheet.width(fact.label, { size })));
  const labelWidth = Math.max(0, ...labels) + afterLabel;
  const unit = (width - columnGap * (groups.length - 1)) / shares.reduce((sum, share) => sum + share, 0);
  const columnWidths = groups.map((_, index) => unit * (shares[index] ?? 1));
  const lefts = columnWidths.map((_, index) =>
    columnWidths.slice(0, index).reduce((sum, columnWidth) => sum + columnWidth + columnGap, 0),
  );
  const lineHeight = sheet.lineHeight(size);
  const titleHeight = lineHeight + 3;
  const set = groups.map((group, index) => ({
    title: group.title,
    facts: group.facts.map(({ label, value }) => ({
      label,
      lines: sheet.wrap(value, (columnWidths[index] ?? 0) - labelWidth, { size }),
    })),
  }));
  const heights = set.map((group) => group.facts.reduce((sum, fact) => sum + fact.lines.length * lineHeight, 0));
  return {
    height: titleHeight + Math.max(0, ...heights),
    bookmark: groups.map((group) => group.title).join(' · '),
    draw: (x, y) => {
      for (const [index, group] of set.entries()) {
        const left = x + (lefts[index] ?? 0);
        sheet.tag('H2', () => sheet.write(group.title, left, y, { font: 'bold', size, colour: sheet.accent }));
        sheet.rule(left, y + lineHeight + 0.5, columnWidths[index] ?? 0, 0.5, sheet.accent);
        let top = y + titleHeight;
        for (const fact of group.facts) {
          sheet.tag('P', () => {
            sheet.write(fact.label, left, top, { size, colour: quiet });
            for (const [line, text] of fact.lines.entries())
              sheet.write(text, left + labelWidth, top + line * lineHeight, { size });
          });
          top += fact.lines.length * lineHeight;
        }
      }
    },
  };
}
