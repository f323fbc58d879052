import { square } from '../units/index.js';
/**
 * A sliding window over the pressure that answers "how fast is it changing?" by least squares, in constant memory:
 * the window is cut into {@link cells} cells, each the mean of its readings. Plain JSON, never changed in place.
 */
export interface RateWindow {
  readonly spanUs: number;
  /** Finished cells, oldest first: mean time from `originUs` in seconds, mean pressure, number of readings. */
  readonly done: readonly Cell[];
  readonly open: OpenCell | null;
  readonly originUs: number | null;
}

interface Cell {
  readonly tS: number;
  readonly pPa: number;
  readonly n: number;
}

interface OpenCell {
  readonly startUs: number;
  readonly sumS: number;
  readonly sumPa: number;
  readonly n: number;
}

const cells = 20;

/** An empty window over `spanS` seconds. */
export const emptyWindow = (spanS: number): RateWindow => ({
  spanUs: Math.round(spanS * 1e6),
  done: [],
  open: null,
  originUs: null,
});

/** The window with one more reading; older cells fall out. */
export function slide(window: RateWindow, timeUs: number, pressurePa: number): RateWindow {
  const originUs = window.originUs ?? timeUs;
  const tS = (timeUs - originUs) / 1e6;
  const open = window.open;
  if (open && timeUs - open.startUs < window.spanUs / cells) {
    const grown = { startUs: open.startUs, sumS: open.sumS + tS, sumPa: open.sumPa + pressurePa, n: open.n + 1 };
    return { spanUs: window.spanUs, done: window.done, open: grown, originUs };
  }
  const fresh = { startUs: timeUs, sumS: tS, sumPa: pressurePa, n: 1 };
  if (!open) return { spanUs: window.spanUs, done: window.done, open: fresh, originUs };
  const oldestS = tS - window.spanUs / 1e6;
  const kept = window.done.filter((cell) => cell.tS >= oldestS);
  return { spanUs: window.spanUs, done: [...kept, closeCell(open)], open: fresh, originUs };
}

const closeCell = (open: OpenCell): Cell => ({ tS: open.sumS / open.n, pPa: open.sumPa / open.n, n: open.n });

/** Seconds between the first and the last cell. */
export function coveredS(window: RateWindow): number {
  const first = window.done[0];
  if (!first || !window.open) return 0;
  return window.open.sumS / window.open.n - first.tS;
}

/** Least-squares rate of change over the window, Pa/s, positive for a rise; null with fewer than three cells. */
export const ratePaPerS = (window: RateWindow): number | null => rateOf(allCells(window));

/** The rates of the older and the newer half of the window: a fall and a top-up that cancel over the whole show here. */
export function halfRates(window: RateWindow): readonly [number | null, number | null] {
  const all = allCells(window);
  const middle = Math.floor(all.length / 2);
  return [rateOf(all.slice(0, middle)), rateOf(all.slice(middle))];
}

/** Readings in the window. */
export const readingsIn = (window: RateWindow): number => allCells(window).reduce((sum, cell) => sum + cell.n, 0);

const allCells = (window: RateWindow): readonly Cell[] =>
  window.open ? [...window.done, closeCell(window.open)] : window.done;

function rateOf(all: readonly Cell[]): number | null {
  if (all.length < 3) return null;
  let n = 0;
  let meanS = 0;
  let meanPa = 0;
  for (const cell of all) {
    n += cell.n;
    meanS += ((cell.tS - meanS) * cell.n) / n;
    meanPa += ((cell.pPa - meanPa) * cell.n) / n;
  }
  let tt = 0;
  let tp = 0;
  for (const cell of all) {
    tt += cell.n * square(cell.tS - meanS);
    tp += cell.n * (cell.tS - meanS) * (cell.pPa - meanPa);
  }
  return tt > 0 ? tp / tt : null;
}

/** Is the window full: does it cover its span, but for the two cells at its ends? */
export const isFull = (window: RateWindow): boolean => coveredS(window) >= (window.spanUs / 1e6) * (1 - 2 / cells);
