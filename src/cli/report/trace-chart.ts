import type { TestResult } from '../../evaluation/index.js';
import type { Reading } from '../../gauge/index.js';
import { formatIn, pressureDecimals, shownUnit, type UnitSystem } from '../../units/index.js';

const rows = 14;
/** Eighths of a cell, from the bottom. */
const blocks = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];

/** The highest reading of a stretch of time; unseen where there was none. */
interface Column {
  readonly high: number;
  readonly seen: boolean;
}

const unseen: Column = { high: 0, seen: false };

/**
 * A whole trace as a chart of text: highest reading of each column as a bar, the target as a dotted line, the phases
 * named below. Empty without readings.
 */
export function traceChart(
  trace: Iterable<Reading>,
  result: TestResult | null,
  system: UnitSystem,
  width: number,
): string[] {
  const labelWidth = 9;
  const columns = fitted(gathered(trace, 16 * width), width - labelWidth);
  if (columns.cells.length === 0) return [];
  const targets = (result?.ports ?? []).flatMap((port) => port.stages.map((stage) => stage.targetPa as number));
  const topPa = Math.max(...columns.cells.map((cell) => (cell.seen ? cell.high : 0)), ...targets) * 1.04;
  const targetRow = new Set(targets.map((pa) => Math.ceil((pa / topPa) * rows)));
  const label = (pa: number) =>
    formatIn(pa, 'pressure', system.pressure, pressureDecimals(system.pressure) === 2 ? 1 : 0);
  const lines: string[] = [];
  for (let row = rows; row >= 1; row--) {
    const body = columns.cells.map((cell) => cellAt(cell, row, topPa, targetRow.has(row))).join('');
    const text = row === rows || row === Math.round(rows / 2) || targetRow.has(row) ? label((topPa * row) / rows) : '';
    lines.push(`${text.padStart(labelWidth - 2)} │${body}`);
  }
  lines.push(`${label(0).padStart(labelWidth - 2)} └${'─'.repeat(columns.cells.length)}`);
  const end = `${((columns.endUs - columns.startUs) / 6e7).toFixed(1)} min`;
  lines.push(
    `${' '.repeat(labelWidth - 1)}0${end.padStart(columns.cells.length - 1)}  (${shownUnit(system.pressure)})`,
  );
  return lines;
}

function cellAt(cell: Column, row: number, topPa: number, target: boolean): string {
  if (!cell.seen) return ' ';
  const level = (cell.high / topPa) * rows - (row - 1);
  if (level >= 1) return '█';
  if (level > 0.06) return blocks[Math.min(7, Math.floor(level * 8))] ?? ' ';
  return target ? '·' : ' ';
}

interface Gathered {
  readonly cells: readonly Column[];
  readonly startUs: number;
  readonly endUs: number;
}

/** Fine columns brought down to the width there is. */
function fitted({ cells, startUs, endUs }: Gathered, width: number): Gathered {
  if (cells.length <= width) return { cells, startUs, endUs };
  const wide = Array.from({ length: width }, (_, i) => {
    const from = Math.floor((i * cells.length) / width);
    return merged(cells.slice(from, Math.max(from + 1, Math.floor(((i + 1) * cells.length) / width))));
  });
  return { cells: wide, startUs, endUs };
}

/** Readings gathered into at most so many columns of equal time; one pass, columns doubled up whenever they overflow. */
function gathered(trace: Iterable<Reading>, most: number): Gathered {
  let cells: Column[] = [];
  let spanUs = 100_000;
  let startUs: number | null = null;
  let endUs = 0;
  for (const { timeUs, pressurePa } of trace) {
    startUs ??= timeUs;
    endUs = timeUs;
    let at = Math.floor((timeUs - startUs) / spanUs);
    while (at >= most) {
      cells = halved(cells);
      spanUs *= 2;
      at = Math.floor((timeUs - startUs) / spanUs);
    }
    while (cells.length <= at) cells.push(unseen);
    const cell = cells[at];
    if (cell && pressurePa !== null)
      cells[at] = cell.seen ? { high: Math.max(cell.high, pressurePa), seen: true } : { high: pressurePa, seen: true };
  }
  return { cells, startUs: startUs ?? 0, endUs };
}

const halved = (cells: readonly Column[]): Column[] =>
  Array.from({ length: Math.ceil(cells.length / 2) }, (_, i) => merged(cells.slice(2 * i, 2 * i + 2)));

function merged(cells: readonly Column[]): Column {
  const seen = cells.filter((cell) => cell.seen);
  return seen.length === 0 ? unseen : { high: Math.max(...seen.map((cell) => cell.high)), seen: true };
}
