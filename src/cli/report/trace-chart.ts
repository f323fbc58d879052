import type { TestResult } from '../../evaluation/index.js';
import type { Reading } from '../../gauge/index.js';
import { formatIn, pressureDecimals, shownUnit, type UnitSystem } from '../../units/index.js';

const rows = 14;
/** Eighths of a cell, from the bottom. */
const blocks = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];

interface Column {
  low: number;
  high: number;
  seen: boolean;
}

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
  const columns = gathered(trace, width - labelWidth);
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

/** Readings gathered into columns of equal time; one pass, columns doubled up whenever they overflow. */
function gathered(trace: Iterable<Reading>, width: number): { cells: Column[]; startUs: number; endUs: number } {
  let cells: Column[] = [];
  let spanUs = 100_000;
  let startUs: number | null = null;
  let endUs = 0;
  for (const { timeUs, pressurePa } of trace) {
    startUs ??= timeUs;
    endUs = timeUs;
    let at = Math.floor((timeUs - startUs) / spanUs);
    while (at >= width) {
      cells = halved(cells);
      spanUs *= 2;
      at = Math.floor((timeUs - startUs) / spanUs);
    }
    while (cells.length <= at) cells.push({ low: 0, high: 0, seen: false });
    const cell = cells[at];
    if (!cell || pressurePa === null) continue;
    cells[at] = cell.seen
      ? { low: Math.min(cell.low, pressurePa), high: Math.max(cell.high, pressurePa), seen: true }
      : { low: pressurePa, high: pressurePa, seen: true };
  }
  return { cells, startUs: startUs ?? 0, endUs };
}

function halved(cells: readonly Column[]): Column[] {
  const half: Column[] = [];
  for (let i = 0; i < cells.length; i += 2) {
    const pair = [cells[i], cells[i + 1]].filter((cell) => cell?.seen === true);
    half.push({
      low: Math.min(...pair.map((cell) => cell?.low ?? 0)),
      high: Math.max(...pair.map((cell) => cell?.high ?? 0)),
      seen: pair.length > 0,
    });
  }
  return half;
}
