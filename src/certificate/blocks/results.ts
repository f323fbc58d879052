import type { ResultCell, ResultRow, ResultTable } from '../content/content.js';
import type { Block } from '../pages/flow.js';
import { hairline, quiet, type Sheet, type Tag } from '../pages/sheet.js';
import { type ColumnSetting, drawCell, settingsOf } from './result-cell.js';

const rowPad = 1.1;
const widestColumn = 165;

/** The table of results, in as many parts as its columns need. Figures stand with their decimal signs in a line. */
export function resultBlocks(sheet: Sheet, table: ResultTable, width: number): readonly Block[] {
  const most = table.secondUnit === null ? 4 : 3;
  const parts = Math.max(1, Math.ceil(table.columns.length / most));
  const each = Math.ceil(table.columns.length / parts);
  return Array.from({ length: parts }, (_, index) =>
    partOf(sheet, table, index * each, Math.min(table.columns.length, (index + 1) * each), width),
  );
}

function partOf(sheet: Sheet, table: ResultTable, from: number, to: number, width: number): Block {
  const rowHeight = sheet.lineHeight() + rowPad;
  const labelWidth =
    8 + Math.max(...table.rows.map((row) => sheet.width(row.label, row.strong ? { font: 'bold' } : {})));
  const unitWidth = 6 + Math.max(...table.rows.map((row) => sheet.width(unitText(row, table.secondUnit))));
  const columnWidth = Math.min(widestColumn, (width - labelWidth - unitWidth) / Math.max(1, to - from));
  const tableWidth = labelWidth + unitWidth + columnWidth * (to - from);
  const heads = table.columns.slice(from, to).map(({ port, stage }) => headOf(sheet, port, stage, columnWidth - 6));
  const headHeight = sheet.lineHeight() * Math.max(1, ...heads.map((lines) => lines.length)) + 3;
  const settings = settingsOf(sheet, table.rows, from, to, columnWidth);
  return {
    height: headHeight + table.rows.length * rowHeight,
    bookmark: table.title,
    draw: (x, y) => {
      const tag = sheet.branch('Table');
      const left = (index: number): number => x + labelWidth + unitWidth + index * columnWidth;
      drawHead(sheet, tag, table.title, heads, { x, y, bottom: y + headHeight - 3, left, columnWidth });
      sheet.rule(x, y + headHeight - 2, tableWidth, 0.6, sheet.accent);
      for (const [index, row] of table.rows.entries()) {
        const top = y + headHeight + index * rowHeight;
        if (row.strong) band(sheet, x, top - rowPad / 2, tableWidth, rowHeight);
        const cells = row.cells.slice(from, to);
        drawRow(sheet, tag, row, cells, settings, { x, top, unitLeft: x + labelWidth, left, second: table.secondUnit });
        sheet.rule(x, top + rowHeight - rowPad / 2 - 0.3, tableWidth, 0.3, hairline);
      }
    },
  };
}

/** Port and stage on one line, else one above the other. */
function headOf(sheet: Sheet, port: string, stage: string, width: number): readonly string[] {
  const [style, whole] = [{ font: 'bold' } as const, `${port}\u00a0· ${stage}`];
  if (sheet.width(whole, style) <= width) return [whole];
  return [port, stage].flatMap((part) => sheet.wrap(part, width, style));
}

function drawHead(
  sheet: Sheet,
  table: Tag,
  title: string,
  heads: readonly (readonly string[])[],
  place: {
    readonly x: number;
    readonly y: number;
    readonly bottom: number;
    readonly left: (index: number) => number;
    readonly columnWidth: number;
  },
): void {
  const row = sheet.branch('TR', table);
  const lineHeight = sheet.lineHeight();
  const style = { font: 'bold' } as const;
  sheet.leaf(
    'TH',
    row,
    () => sheet.write(title, place.x, place.bottom - lineHeight, { ...style, colour: sheet.accent }),
    'Column',
  );
  for (const [index, lines] of heads.entries())
    sheet.leaf(
      'TH',
      row,
      () => {
        for (const [line, text] of lines.entries())
          sheet.write(
            text,
            place.left(index) + (place.columnWidth - sheet.width(text, style)) / 2,
            place.bottom - (lines.length - line) * lineHeight,
            style,
          );
      },
      'Column',
    );
}

function drawRow(
  sheet: Sheet,
  table: Tag,
  row: ResultRow,
  cells: readonly ResultCell[],
  settings: readonly ColumnSetting[],
  place: {
    readonly x: number;
    readonly top: number;
    readonly unitLeft: number;
    readonly left: (index: number) => number;
    readonly second: string | null;
  },
): void {
  const tag = sheet.branch('TR', table);
  sheet.leaf(
    'TH',
    tag,
    () => {
      sheet.write(row.label, place.x, place.top, row.strong ? { font: 'bold' } : {});
      sheet.write(unitText(row, place.second), place.unitLeft, place.top, { colour: quiet });
    },
    'Row',
  );
  for (const [index, cell] of cells.entries()) {
    const setting = settings[index];
    if (setting !== undefined)
      sheet.leaf('TD', tag, () => drawCell(sheet, cell, setting, place.left(index), place.top, row.strong));
  }
}

const unitText = (row: ResultRow, second: string | null): string =>
  second !== null && row.cells.some((cell) => cell.kind === 'figure' && cell.second !== '')
    ? `${row.unit} (${second})`
    : row.unit;

function band(sheet: Sheet, x: number, y: number, width: number, height: number): void {
  sheet.artifact(() => {
    sheet.pdf
      .rect(x, y, width, height - 0.4)
      .fillColor('#f1f4f7')
      .fill();
  });
}
