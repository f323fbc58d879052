import type { ResultCell, ResultRow } from '../content/content.js';
import { quiet, type Sheet } from '../pages/sheet.js';

const betweenFigures = 8;

/** How the figures of one column stand: the decimal sign of every first figure in one line, of every second in another. */
export interface ColumnSetting {
  readonly width: number;
  /** From the column's left edge to the decimal sign. */
  readonly decimalAt: number;
  readonly secondDecimalAt: number;
  readonly size: number;
}

/** Measures the columns `from` to `to`; the type of all gets smaller where the widest would not fit. */
export function settingsOf(
  sheet: Sheet,
  rows: readonly ResultRow[],
  from: number,
  to: number,
  width: number,
): readonly ColumnSetting[] {
  const extents = Array.from({ length: to - from }, (_, index) => extentOf(sheet, rows, from + index));
  const shrink = Math.min(1, ...extents.map((extent) => (width - 4) / totalOf(extent)));
  return extents.map((extent) => {
    const left = (width - totalOf(extent) * shrink) / 2;
    const secondLeft = extent.before + extent.after + betweenFigures + extent.secondBefore;
    return {
      width,
      decimalAt: left + extent.before * shrink,
      secondDecimalAt: left + secondLeft * shrink,
      size: sheet.body * shrink,
    };
  });
}

/** Greatest widths before and after the decimal sign, of the first figures and of the second. */
interface Extent {
  readonly before: number;
  readonly after: number;
  readonly secondBefore: number;
  readonly secondAfter: number;
}

function totalOf({ before, after, secondBefore, secondAfter }: Extent): number {
  const second = secondBefore + secondAfter;
  return before + after + (second === 0 ? 0 : betweenFigures + second);
}

function extentOf(sheet: Sheet, rows: readonly ResultRow[], column: number): Extent {
  let [before, after, secondBefore, secondAfter] = [0, 0, 0, 0];
  for (const row of rows) {
    const cell = row.cells[column];
    if (cell?.kind !== 'figure') continue;
    const style = styleOf(row.strong);
    const whole = wholeOf(cell.figure);
    before = Math.max(before, sheet.width(whole, style));
    after = Math.max(after, sheet.width(cell.figure.slice(whole.length), style) + sheet.width(plusMinusOf(cell)));
    const second = secondOf(cell);
    const secondWhole = wholeOf(second);
    secondBefore = Math.max(secondBefore, sheet.width(secondWhole));
    secondAfter = Math.max(secondAfter, sheet.width(second.slice(secondWhole.length)));
  }
  return { before, after, secondBefore, secondAfter };
}

export function drawCell(
  sheet: Sheet,
  cell: ResultCell,
  setting: ColumnSetting,
  x: number,
  y: number,
  strong: boolean,
): void {
  if (cell.kind === 'word') {
    const style = styleOf(strong);
    const size = sheet.body * Math.min(1, (setting.width - 4) / Math.max(1, sheet.width(cell.word, style)));
    sheet.write(cell.word, x + (setting.width - sheet.width(cell.word, { ...style, size })) / 2, y, { ...style, size });
    return;
  }
  const style = { ...styleOf(strong), size: setting.size };
  const soft = { size: setting.size, colour: quiet };
  const left = x + setting.decimalAt - sheet.width(wholeOf(cell.figure), style);
  sheet.write(cell.figure, left, y, style);
  sheet.write(plusMinusOf(cell), left + sheet.width(cell.figure, style), y, soft);
  const second = secondOf(cell);
  sheet.write(second, x + setting.secondDecimalAt - sheet.width(wholeOf(second), soft), y, soft);
}

const styleOf = (strong: boolean): { readonly font?: 'bold' } => (strong ? { font: 'bold' } : {});
const wholeOf = (figure: string): string => figure.split(/[.,]/)[0]?.replace(/\)$/, '') ?? '';
const plusMinusOf = (cell: { readonly plusMinus: string }): string =>
  cell.plusMinus === '' ? '' : `\u00a0±\u00a0${cell.plusMinus}`;
const secondOf = (cell: { readonly second: string }): string => (cell.second === '' ? '' : `(${cell.second})`);
