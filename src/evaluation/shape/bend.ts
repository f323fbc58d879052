import { gathered, lineThrough, type Series } from './series.js';

/** A shape that a trace may have on top of its straight line. */
export interface Bend {
  readonly kind: 'settling' | 'step';
  /** Time constant of the settling, or time of the step, s. */
  readonly atS: number;
  /** Size, Pa: what is still to settle at the start of the dwell (positive: a fall), or the height of the step (positive: down). */
  readonly sizePa: number;
  /** Variance of `sizePa` for noise of 1 Pa2 a reading. */
  readonly unitVariance: number;
  /** What the shape adds to the line's value at the start and at the end of the dwell, for a size of 1. */
  readonly startShare: number;
  readonly endShare: number;
  /** Reduction of the weighted residual sum of squares, Pa2. */
  readonly gain: number;
}

const cellsTried = 128;
const constantsTried = 24;

/**
 * Every bend worth trying, fitted beside a straight line: settling with time constants from a 40th of the dwell to
 * twice its length, and a step between any two of 128 cells. Each is freed from its own line first, so that its size
 * and its gain follow from one product (Frisch and Waugh 1933).
 */
export function bendsOf(series: Series, durationS: number): Bend[] {
  const cells = gathered(series, cellsTried);
  const line = lineThrough(cells);
  if (cells.t.length < 6 || !(line.stt > 0) || !(durationS > 0)) return [];
  const bends: Bend[] = [];
  for (let i = 0; i < constantsTried; i++) {
    const tau = (durationS / 40) * 80 ** (i / (constantsTried - 1));
    const shape = (t: number): number => Math.exp(-t / tau);
    const bend = fitted('settling', tau, cells, shape, durationS);
    if (bend) bends.push(bend);
  }
  for (let cell = 2; cell < cells.t.length - 1; cell++) {
    const at = ((cells.t[cell - 1] ?? 0) + (cells.t[cell] ?? 0)) / 2;
    const bend = fitted('step', at, cells, (t) => (t < at ? 1 : 0), durationS);
    if (bend) bends.push(bend);
  }
  return bends;
}

/** The value of a bend of size 1 at a time, not yet freed from its line. */
export function bendAt(bend: Bend, t: number): number {
  return bend.kind === 'settling' ? Math.exp(-t / bend.atS) : t < bend.atS ? 1 : 0;
}

function fitted(
  kind: Bend['kind'],
  atS: number,
  cells: Series,
  shape: (t: number) => number,
  durationS: number,
): Bend | null {
  const values = cells.t.map(shape);
  const own = lineThrough({ ...cells, y: values });
  const free = (t: number, value: number): number => value - own.meanY - own.slope * (t - own.meanT);
  let [power, product] = [0, 0];
  for (let i = 0; i < values.length; i++) {
    const left = free(cells.t[i] ?? 0, values[i] ?? 0);
    power += (cells.weight[i] ?? 0) * left * left;
    product += (cells.weight[i] ?? 0) * left * (cells.y[i] ?? 0);
  }
  let scale = 0;
  for (let i = 0; i < values.length; i++) scale += (cells.weight[i] ?? 0) * (values[i] ?? 0) ** 2;
  if (!(power > 1e-8 * scale)) return null;
  return {
    kind,
    atS,
    sizePa: product / power,
    unitVariance: 1 / power,
    startShare: free(0, shape(0)),
    endShare: free(durationS, shape(durationS)),
    gain: (product * product) / power,
  };
}
