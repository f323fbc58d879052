import { formatQuantity, pressureDecimals, spellDuration, type UnitSystem } from '../../../units/index.js';
import type { PortFigures } from '../figures.js';
import { type CoursePart, type CoursePiece, expectedCourse } from './expected-course.js';

const drawn: Readonly<Record<CoursePart, string>> = { ramp: '/', stabilise: '.', dwell: '=', 'bleed-down': '\\' };

/**
 * A text picture of expected pressure against time: `/` ramp, `.` settling, `=` dwell, `\` bleed-down, and a dashed
 * line that the pressure must never pass.
 */
export function pressurePicture(
  port: PortFigures,
  system: UnitSystem,
  size: { readonly columns: number; readonly rows: number } = { columns: 64, rows: 10 },
): string[] {
  const course = expectedCourse(port);
  const endS = course.at(-1)?.toS ?? 1;
  const rowOf = (pa: number): number => 1 + Math.round((1 - pa / port.testPa) * (size.rows - 2));
  const grid = Array.from({ length: size.rows }, (_, row) =>
    Array.from({ length: size.columns }, (__, column) => (row === 0 && column % 2 === 0 ? '-' : ' ')),
  );
  let before = rowOf(0);
  for (let column = 0; column < size.columns; column += 1) {
    const piece = pieceIn(course, (column / size.columns) * endS, ((column + 1) / size.columns) * endS);
    const row = rowOf(piece.pa);
    const [high, low] = piece.part === 'ramp' || piece.part === 'bleed-down' ? [row, before] : [row, row];
    for (let at = Math.min(high, low); at <= Math.max(high, low); at += 1)
      if (at === row || (at > Math.min(row, before) && at < Math.max(row, before)))
        put(grid, at, column, drawn[piece.part]);
    before = row;
  }
  const labels = new Map([
    ...port.stages.map(({ targetPa }): [number, number] => [rowOf(targetPa), targetPa]),
    [rowOf(0), 0],
    [0, port.overpressurePa],
  ]);
  const names = grid.map((_, row) => {
    const pa = labels.get(row);
    return pa === undefined
      ? ''
      : formatQuantity(pa, 'pressure', system.pressure, Math.min(1, pressureDecimals(system.pressure)));
  });
  const width = Math.max(...names.map((name) => name.length));
  const lines = grid.map((cells, row) => `${(names[row] ?? '').padStart(width)} |${cells.join('').trimEnd()}`);
  lines[0] = `${lines[0]?.slice(0, width + 2 + size.columns - 12).trimEnd()} never above`;
  return [...lines, ...timeAxis(endS, width, size.columns)];
}

/** The piece that fills most of a column, and the pressure at the column's end. A dwell is never drawn over. */
function pieceIn(course: readonly CoursePiece[], fromS: number, toS: number): { part: CoursePart; pa: number } {
  const inside = course.map((piece) => ({ piece, lastsS: Math.min(toS, piece.toS) - Math.max(fromS, piece.fromS) }));
  const longest = inside.reduce((most, next) => (next.lastsS > most.lastsS ? next : most));
  const { part, fromS: startS, toS: endS, fromPa, toPa } = longest.piece;
  const share = endS > startS ? (Math.min(toS, endS) - startS) / (endS - startS) : 1;
  return { part, pa: fromPa + share * (toPa - fromPa) };
}

function put(grid: string[][], row: number, column: number, mark: string): void {
  const cells = grid[row];
  if (cells) cells[column] = mark;
}

function timeAxis(endS: number, width: number, columns: number): string[] {
  const middle = spellDuration(endS / 2);
  const end = spellDuration(endS);
  const gap = Math.floor(columns / 2 - middle.length / 2);
  const head = `0${' '.repeat(Math.max(1, gap - 1))}${middle}`;
  return [
    `${' '.repeat(width)} +${'-'.repeat(columns)}`,
    `${' '.repeat(width + 2)}${head}${' '.repeat(Math.max(1, columns - head.length - end.length))}${end}`,
  ];
}
