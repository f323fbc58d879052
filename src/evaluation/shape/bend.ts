import { exp, log, square } from '../../units/index.js';
import { aboveLine, gathered, lineThrough, type Series, type SeriesLine } from './series.js';

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
  /** Odds given beforehand among the bends of its kind; they add up to 1. */
  readonly prior: number;
  /** Reduction of the weighted residual sum of squares, Pa2. */
  readonly gain: number;
}

const cellsTried = 128;
const constantsTried = 24;
/** Time constants from a 40th of the dwell to twice its length, as logarithms of their ratio to the dwell. */
const [shortest, longest] = [log(1 / 40), log(2)] as const;

/** The bends of one trace: all steps, the best settling, and on demand the settlings worth weighing. */
export interface BendSearch {
  readonly steps: readonly Bend[];
  readonly bestStep: Bend | null;
  readonly bestSettling: Bend | null;
  /**
   * Settlings over the whole range of time constants; round the best one the net is drawn as close as the noise
   * demands, so that a clear settling is not held to a mesh.
   * @param spread noise of a reading that a slope would see, variance in Pa2
   */
  settlings(spread: number): Bend[];
}

/**
 * Fits every bend worth trying beside a straight line: a step between any two of 128 cells, and settling with time
 * constants from a 40th of the dwell to twice its length. Each is freed from its own line first, so that its size
 * and its gain follow from one product (Frisch and Waugh 1933).
 */
export function bendsOf(series: Series, durationS: number): BendSearch {
  const cells = gathered(series, cellsTried);
  const line = lineThrough(cells);
  if (cells.t.length < 6 || !(line.stt > 0) || !(durationS > 0))
    return { steps: [], bestStep: null, bestSettling: null, settlings: () => [] };
  const total = cells.weight.reduce((sum, weight) => sum + weight, 0);
  const ground: Ground = { cells: { ...cells, y: aboveLine(cells, line) }, line, total, durationS };
  const steps = stepsOf(ground);
  const at = (place: number, prior: number): Bend | null => {
    const tau = durationS * exp(place);
    return fitted('settling', tau, prior, ground, (t) => exp(-t / tau));
  };
  const peak = bestPlace((place) => at(place, 0)?.gain ?? 0);
  return {
    steps,
    bestStep: steps.reduce<Bend | null>((top, step) => (step.gain > (top?.gain ?? 0) ? step : top), null),
    bestSettling: at(peak, 0),
    settlings: (spread) => settlingsRound(peak, spread, at),
  };
}

function stepsOf(ground: Ground): Bend[] {
  const { cells } = ground;
  const prior = 1 / Math.max(1, cells.t.length - 3);
  const steps: Bend[] = [];
  for (let cell = 2; cell < cells.t.length - 1; cell++) {
    const at = ((cells.t[cell - 1] ?? 0) + (cells.t[cell] ?? 0)) / 2;
    const step = fitted('step', at, prior, ground, (t) => (t < at ? 1 : 0));
    if (step) steps.push(step);
  }
  return steps;
}

const mesh = (longest - shortest) / (constantsTried - 1);
const netPlaces: readonly number[] = Array.from({ length: constantsTried }, (_, i) => shortest + i * mesh);

function bestPlace(gainAt: (place: number) => number): number {
  const gains = netPlaces.map(gainAt);
  const top = netPlaces[gains.indexOf(Math.max(...gains))] ?? shortest;
  return summit(gainAt, Math.max(shortest, top - mesh), Math.min(longest, top + mesh));
}

function settlingsRound(peak: number, spread: number, at: (place: number, prior: number) => Bend | null): Bend[] {
  const gain = (place: number): number => at(place, 0)?.gain ?? 0;
  const arm = mesh / 8;
  const curvature = (2 * gain(peak) - gain(peak - arm) - gain(peak + arm)) / square(arm);
  const width = curvature > 0 ? Math.sqrt((2 * spread) / curvature) : mesh;
  const places = [...netPlaces];
  if (width < mesh && width > 0) {
    const close = Array.from({ length: 17 }, (_, i) => peak + ((i - 8) / 2) * width);
    places.push(...close.filter((place) => place > shortest && place < longest));
    places.sort((a, b) => a - b);
  }
  const bends = places.map((place, i) =>
    at(place, ((places[i + 1] ?? place) - (places[i - 1] ?? place)) / 2 / (longest - shortest)),
  );
  return bends.filter((bend) => bend !== null);
}

/** Where a function with one summit between two places has it, by golden section. */
function summit(height: (place: number) => number, from: number, to: number): number {
  const golden = (Math.sqrt(5) - 1) / 2;
  let [low, high] = [from, to];
  let [left, right] = [high - golden * (high - low), low + golden * (high - low)];
  let [atLeft, atRight] = [height(left), height(right)];
  for (let step = 0; step < 18; step++) {
    if (atLeft < atRight) {
      [low, left, atLeft] = [left, right, atRight];
      right = low + golden * (high - low);
      atRight = height(right);
    } else {
      [high, right, atRight] = [right, left, atLeft];
      left = high - golden * (high - low);
      atLeft = height(left);
    }
  }
  return (low + high) / 2;
}

/** The value of a bend of size 1 at a time, not yet freed from its line. */
export function bendAt(bend: Bend, t: number): number {
  return bend.kind === 'settling' ? exp(-t / bend.atS) : t < bend.atS ? 1 : 0;
}

/** Cells with the sums that every fit needs; `y` is what is left above the line. */
interface Ground {
  readonly cells: Series;
  readonly line: SeriesLine;
  readonly total: number;
  readonly durationS: number;
}

/** Fits one shape beside a line in one pass: products of the shape with 1, with time, with itself and with the trace. */
function fitted(
  kind: Bend['kind'],
  atS: number,
  prior: number,
  { cells, line, total, durationS }: Ground,
  shape: (t: number) => number,
): Bend | null {
  const { t, y, weight } = cells;
  let [withOne, withTime, withItself, withTrace] = [0, 0, 0, 0];
  for (let i = 0; i < t.length; i++) {
    const at = t[i] ?? 0;
    const value = shape(at);
    const weighted = (weight[i] ?? 0) * value;
    withOne += weighted;
    withTime += weighted * (at - line.meanT);
    withItself += weighted * value;
    withTrace += weighted * (y[i] ?? 0);
  }
  const mean = withOne / total;
  const slope = withTime / line.stt;
  const power = withItself - withOne * mean - withTime * slope;
  if (!(power > 1e-8 * withItself)) return null;
  const free = (at: number): number => shape(at) - mean - slope * (at - line.meanT);
  return {
    kind,
    atS,
    sizePa: withTrace / power,
    unitVariance: 1 / power,
    startShare: free(0),
    endShare: free(durationS),
    prior,
    gain: (withTrace * withTrace) / power,
  };
}
