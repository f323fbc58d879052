import type { ResultCell, ResultRow, ResultTable } from '../content/content.js';
import type { Block } from './flow.js';
import { hairline, quiet, type Sheet, type Tag } from './sheet.js';

const rowPad = 1.6;
const labelShare = 0.29;
const unitWidth = 42;
const widestColumn = 118;

/** The table of results, in as many parts as its columns need. Figures stand with their decimal signs in a line. */
export function resultBlocks(sheet: Sheet, table: ResultTable, width: number): readonly Block[] {
  const most = table.secondUnit === null ? 5 : 3;
  const blocks: Block[] = [];
  for (let start = 0; start < table.columns.length; start += most)
    blocks.push(part(sheet, table, start, Math.min(table.columns.length, start + most), width));
  return blocks;
}

function part(sheet: Sheet, table: ResultTable, from: number, to: number, width: number): Block {
  const rowHeight = sheet.lineHeight() + rowPad;
  const headHeight = rowHeight * 2 + 2;
  const labelWidth = width * labelShare;
  const columnWidth = Math.min(
    widestColumn + (table.secondUnit === null ? 0 : 40),
    (width - labelWidth - unitWidth) / (to - from),
  );
  const tableWidth = labelWidth + unitWidth + columnWidth * (to - from);
  return {
    height: headHeight + table.rows.length * rowHeight,
    draw: (x, y) => {
      const tag = sheet.branch('Table');
      const left = (column: number): number => x + labelWidth + unitWidth + (column - from) * columnWidth;
      const head = sheet.branch('TR', tag);
      sheet.leaf(
        'TH',
        head,
        () => sheet.write(table.title, x, y + rowHeight, { font: 'bold', colour: sheet.accent }),
        'Column',
      );
      for (let column = from; column < to; column++) {
        const { port = '', stage = '' } = table.columns[column] ?? {};
        sheet.leaf('TH', head, () => drawHead(sheet, port, stage, left(column), y, columnWidth, rowHeight), 'Column');
      }
      sheet.rule(x, y + headHeight - 2, tableWidth, 0.8, sheet.accent);
      for (const [index, row] of table.rows.entries()) {
        const top = y + headHeight + index * rowHeight;
        if (row.strong) band(sheet, x, top - rowPad / 2, tableWidth, rowHeight);
        drawRow(sheet, tag, row, {
          x,
          top,
          unitLeft: x + labelWidth,
          from,
          to,
          left,
          columnWidth,
          second: table.secondUnit,
        });
        sheet.rule(x, top + rowHeight - rowPad / 2 - 0.3, tableWidth, 0.3, hairline);
      }
    },
  };
}

function drawHead(
  sheet: Sheet,
  port: string,
  stage: string,
  x: number,
  y: number,
  width: number,
  rowHeight: number,
): void {
  const style = { font: 'bold' } as const;
  const fitted = sheet.wrap(stage, width - 6, style)[0] ?? '';
  sheet.write(port, x + (width - sheet.width(port, style)) / 2, y, style);
  sheet.write(fitted, x + (width - sheet.width(fitted, style)) / 2, y + rowHeight - 1, style);
}

interface RowPlace {
  readonly x: number;
  readonly top: number;
  readonly unitLeft: number;
  readonly from: number;
  readonly to: number;
  readonly left: (column: number) => number;
  readonly columnWidth: number;
  readonly second: string | null;
}

function drawRow(sheet: Sheet, table: Tag, row: ResultRow, place: RowPlace): void {
  const style = row.strong ? ({ font: 'bold' } as const) : {};
  const tag = sheet.branch('TR', table);
  sheet.leaf(
    'TH',
    tag,
    () => {
      sheet.write(row.label, place.x, place.top, style);
      sheet.write(unitText(row, place.second), place.unitLeft, place.top, { colour: quiet });
    },
    'Row',
  );
  for (let column = place.from; column < place.to; column++) {
    const cell = row.cells[column];
    if (cell !== undefined)
      sheet.leaf('TD', tag, () => drawCell(sheet, cell, place.left(column), place.top, place.columnWidth, row.strong));
  }
}

const unitText = (row: ResultRow, second: string | null): string =>
  second !== null && row.cells.some((cell) => cell.kind === 'figure' && cell.second !== '')
    ? `${row.unit} (${second})`
    : row.unit;

/** The decimal sign stands at the same place of every cell of a column, the ± part to the right of it. */
function drawCell(sheet: Sheet, cell: ResultCell, x: number, y: number, width: number, strong: boolean): void {
  const style = strong ? ({ font: 'bold' } as const) : {};
  if (cell.kind === 'word') {
    const fitted = sheet.wrap(cell.word, width - 4, style)[0] ?? '';
    sheet.write(fitted, x + (width - sheet.width(fitted, style)) / 2, y, style);
    return;
  }
  const decimalAt = x + width * (cell.second === '' ? 0.4 : 0.3);
  const [whole = ''] = cell.figure.split(/[.,]/);
  const left = decimalAt - sheet.width(whole, style);
  sheet.write(cell.figure, left, y, style);
  let right = left + sheet.width(cell.figure, style);
  if (cell.plusMinus !== '') {
    const text = `\u00a0±\u00a0${cell.plusMinus}`;
    sheet.write(text, right, y, { colour: quiet });
    right += sheet.width(text);
  }
  if (cell.second !== '') sheet.writeRight(`(${cell.second})`, x + width - 6, y, { colour: quiet });
}

function band(sheet: Sheet, x: number, y: number, width: number, height: number): void {
  sheet.artifact(() => {
    sheet.pdf
      .rect(x, y, width, height - 0.4)
      .fillColor('#f1f4f7')
      .fill();
  });
}
