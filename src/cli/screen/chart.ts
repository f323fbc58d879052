import { type Line, padTo, type Span, type Style, span } from './frame.js';
import type { TraceSketch } from './trace-sketch.js';

/** A straight line across the chart. */
export interface Rule {
  /** At the left and at the right edge, Pa. */
  readonly fromPa: number;
  readonly toPa: number;
  readonly sign: string;
  readonly style: Style;
  /** Written at the axis, where there is room. */
  readonly label?: string;
}

export interface ChartAsk {
  readonly trace: TraceSketch;
  /** Time across the chart, s. */
  readonly spanS: number;
  readonly lowPa: number;
  readonly highPa: number;
  readonly rules: readonly Rule[];
  readonly width: number;
  readonly height: number;
  readonly unicode: boolean;
  /** A level for the axis, without its unit. */
  readonly label: (pa: number) => string;
}

const labelWidth = 8;
/** Bits of the eight dots of a braille cell, by column and row. */
const dots = [
  [0x01, 0x02, 0x04, 0x40],
  [0x08, 0x10, 0x20, 0x80],
] as const;

/** A trace as lines of text: dots where it was, straight lines for what it is held against, levels at the left. */
export function chartLines(ask: ChartAsk): Line[] {
  const { width, height, highPa, lowPa } = ask;
  const columns = Math.max(4, width - labelWidth - 1);
  const cells = traceCells(ask, columns);
  const slopes = slopeCells(ask, columns);
  const rules = ruleCells(ask, columns);
  const labels = axisLabels(ask);
  const lines: Line[] = [];
  for (let row = 0; row < height; row++) {
    const pieces: Span[] = [];
    for (let column = 0; column < columns; column++) {
      const at = row * columns + column;
      const bits = cells[at] ?? 0;
      const rule = slopes.get(at) ?? rules.get(at);
      const piece: Span =
        bits !== 0 ? span(ask.unicode ? String.fromCodePoint(0x2800 + bits) : '*', 'accent') : (rule ?? span(' '));
      const last = pieces.at(-1);
      if (last && last.style === piece.style) pieces[pieces.length - 1] = span(last.text + piece.text, last.style);
      else pieces.push(piece);
    }
    const fallback = row === 0 ? ask.label(highPa) : row === height - 1 ? ask.label(lowPa) : '';
    lines.push([span(`${(labels.get(row) ?? fallback).padStart(labelWidth - 1)} │`, 'dim'), ...pieces]);
  }
  return lines;
}

const rowOf = (pa: number, { lowPa, highPa }: ChartAsk, rows: number): number =>
  Math.floor((1 - (pa - lowPa) / (highPa - lowPa)) * rows);

function traceCells(ask: ChartAsk, columns: number): Uint8Array {
  const cells = new Uint8Array(columns * ask.height);
  const { trace, spanS } = ask;
  const across = columns * 2;
  const down = ask.height * 4;
  const mark = (x: number, fromY: number, toY: number): void => {
    for (let y = Math.max(0, Math.min(fromY, toY)); y <= Math.min(down - 1, Math.max(fromY, toY)); y++) {
      const at = (y >> 2) * columns + (x >> 1);
      cells[at] = (cells[at] ?? 0) | (dots[x & 1 ? 1 : 0][y & 3] ?? 0);
    }
  };
  let before: { readonly x: number; readonly y: number } | null = null;
  trace.columns.forEach((column, index) => {
    const x = Math.floor((((index + 0.5) * trace.columnS) / spanS) * across);
    if (!column || x < 0 || x >= across) {
      before = null;
      return;
    }
    const top = rowOf(column.highPa, ask, down);
    const bottom = rowOf(column.lowPa, ask, down);
    mark(x, top, bottom);
    const y = Math.round((top + bottom) / 2);
    // Neighbours are joined by a straight line, so that a wide screen shows a trace and not a row of dots.
    if (before) joinDots(before, { x, y }, mark);
    before = { x, y };
  });
  return cells;
}

function joinDots(
  from: { readonly x: number; readonly y: number },
  to: { readonly x: number; readonly y: number },
  mark: (x: number, fromY: number, toY: number) => void,
): void {
  for (let x = from.x + 1; x < to.x; x++) {
    const y = Math.round(from.y + ((to.y - from.y) * (x - from.x)) / (to.x - from.x));
    mark(x, y, y);
  }
}

function ruleCells(ask: ChartAsk, columns: number): Map<number, Span> {
  const cells = new Map<number, Span>();
  for (const rule of ask.rules.filter(({ fromPa, toPa }) => !ask.unicode || fromPa === toPa))
    for (let column = 0; column < columns; column++) {
      const pa = rule.fromPa + ((rule.toPa - rule.fromPa) * (column + 0.5)) / columns;
      const row = rowOf(pa, ask, ask.height);
      if (row >= 0 && row < ask.height && !cells.has(row * columns + column))
        cells.set(row * columns + column, span(rule.sign, rule.style));
    }
  return cells;
}

/** Rules that fall or rise, as single dots finer than a cell, so that they look straight; cells do in ASCII. */
function slopeCells(ask: ChartAsk, columns: number): Map<number, Span> {
  const cells = new Map<number, Span>();
  if (!ask.unicode) return cells;
  const across = columns * 2;
  for (const rule of ask.rules.filter(({ fromPa, toPa }) => fromPa !== toPa)) {
    const bits = new Map<number, number>();
    for (let x = 0; x < across; x += 3) {
      const y = rowOf(rule.fromPa + ((rule.toPa - rule.fromPa) * (x + 0.5)) / across, ask, ask.height * 4);
      if (y < 0 || y >= ask.height * 4) continue;
      const at = (y >> 2) * columns + (x >> 1);
      bits.set(at, (bits.get(at) ?? 0) | (dots[x & 1 ? 1 : 0][y & 3] ?? 0));
    }
    for (const [at, dot] of bits) cells.set(at, span(String.fromCodePoint(0x2800 + dot), rule.style));
  }
  return cells;
}

/** Labels of the rules, at the row where each meets the right edge; the first one there stays. */
function axisLabels(ask: ChartAsk): Map<number, string> {
  const labels = new Map<number, string>();
  for (const { label, toPa } of ask.rules) {
    const row = rowOf(toPa, ask, ask.height);
    if (label !== undefined && row >= 0 && row < ask.height && !labels.has(row)) labels.set(row, label);
  }
  return labels;
}

/** The time axis: zero, the end, and what the lines mean. */
export function chartFoot(width: number, endText: string, legend: Line): Line {
  const room = Math.max(0, width - labelWidth - 1);
  const wide = legend.reduce((sum, { text }) => sum + text.length, 0);
  const left = `0${' '.repeat(3)}`;
  return [
    span(padTo('', labelWidth + 1)),
    span(left, 'dim'),
    ...(wide + left.length + endText.length + 1 <= room ? legend : []),
    span(
      endText.padStart(Math.max(0, room - left.length - (wide + left.length + endText.length + 1 <= room ? wide : 0))),
      'dim',
    ),
  ];
}
