import type { TrappedOil } from '../hydraulics/index.js';
import { exp, square } from '../units/index.js';
import type { BudgetLine } from './result.js';
import { aboveLine, lineThrough, type Series } from './shape/series.js';
import { smoothCurve } from './statistics/polynomial.js';
import type { Blocks } from './trace/block-means.js';
import type { TypedOil } from './trace/dwell-trace.js';
import { rectangularU } from './uncertainty/gauge-part.js';

/** The part of the pressure's course that oil temperature explains. */
export interface ThermalPart {
  readonly source: 'logged' | 'typed';
  /** Pressure that the oil's warming made in each block, Pa, on an arbitrary zero. */
  readonly pressure: Float64Array;
  /** The same at the very start of the dwell, Pa. */
  readonly startPa: number;
  /** The same at the start less at the end of the dwell: positive when the oil cooled. */
  readonly dropPa: number;
  /** Fall of the oil's temperature over the dwell, K. */
  readonly coolingK: number;
  /** Coefficient used, Pa/K, its standard uncertainty, and the lag between oil and probe, s. */
  readonly coefficient: number;
  readonly coefficientU: number;
  readonly lagS: number;
  /** The trace asked for a coefficient that oil and walls can't have; the stated one was used. */
  readonly refused: boolean;
  readonly budget: readonly BudgetLine[];
}

/** Lags between oil and probe that are tried, s; the longest that is under a third of the dwell bounds them. */
const lagsTried = [0, 5, 10, 15, 20, 30, 40, 50, 60, 80, 100, 120];

/** A probe in or on the cylinder follows within about a minute (common practice, no source): longer lags count for less. */
const usualLagS = 60;

/** The trace may move the coefficient by so many of its standard uncertainties, no further. */
const believableU = 2;

/** Half-width of a probe's own drift over a dwell, K: common practice, no source. */
const probeStabilityK = 0.01;

/** Half-width within which a person reads a thermometer, K: common practice, no source. */
const typedHalfWidthK = 0.1;

/**
 * The thermal part from a logged oil temperature. The probe follows the oil with a first-order lag, so the oil is at
 * probe + lag x its rate of change; the rate comes from a smooth curve through the probe's readings. The coefficient
 * starts as `trapped.thermalPaPerK` with its uncertainty and is corrected by the trace as far as bends of the
 * temperature show in the pressure (a normal prior weighed against least squares). Lags are weighed by their likelihood.
 * @param spread noise of a reading that a slope would see, variance in Pa2
 * @returns null when the oil was not logged over at least half of the dwell
 */
export function thermalFromProbe(
  blocks: Blocks,
  trapped: TrappedOil,
  durationS: number,
  spread: number,
): ThermalPart | null {
  const oil = filledIn(blocks, durationS);
  if (!oil) return null;
  const { timeS: t, count: weight } = blocks;
  const oilLine = lineThrough({ t, y: oil, weight });
  const curve = smoothCurve(t, oil, weight, t.length);
  const rate = t.map((at) => curve.rate(at));
  const left = (y: Float64Array): Float64Array => aboveLine({ t, y, weight }, lineThrough({ t, y, weight }));
  const pressureLeft = left(blocks.pressure);
  const lags = curve.degree > 1 ? lagsTried.filter((lag) => lag === 0 || lag <= durationS / 3) : [0];
  const smooth = t.map((at) => curve.value(at));
  const tries = lags.map((lagS) => {
    const bend = left(smooth.map((value, i) => value + lagS * (rate[i] ?? 0)));
    const xx = dot(bend, bend, weight) / spread;
    const xp = dot(bend, pressureLeft, weight) / spread;
    const prior = 1 / square(trapped.thermalUPaPerK);
    const exact = !Number.isFinite(prior) || !(spread > 0);
    const updated = exact ? trapped.thermalPaPerK : (trapped.thermalPaPerK * prior + xp) / (prior + xx);
    // A bent leak looks like a bent temperature: a coefficient that oil and walls can't have is not believed.
    const believed = Math.abs(updated - trapped.thermalPaPerK) <= believableU * trapped.thermalUPaPerK;
    const coefficient = believed ? updated : trapped.thermalPaPerK;
    const misfit = exact
      ? 0
      : -2 * coefficient * xp + square(coefficient) * xx + square(coefficient - trapped.thermalPaPerK) * prior;
    const slope = oilLine.slope + lagS * lineThrough({ t, y: rate, weight }).slope;
    return {
      lagS,
      coefficient,
      u: exact || !believed ? trapped.thermalUPaPerK : 1 / Math.sqrt(prior + xx),
      misfit,
      slope,
      believed,
    };
  });
  const least = Math.min(...tries.map((one) => one.misfit));
  const likelihoods = tries.map((one, i) => exp((least - one.misfit) / 2 - one.lagS / usualLagS) * gapRound(lags, i));
  const total = likelihoods.reduce((sum, one) => sum + one, 0);
  const mean = (value: (one: (typeof tries)[number]) => number): number =>
    tries.reduce((sum, one, i) => sum + ((likelihoods[i] ?? 0) / total) * value(one), 0);
  const coefficient = mean((one) => one.coefficient);
  const coefficientU = Math.sqrt(mean((one) => square(one.u)));
  const lagS = mean((one) => one.lagS);
  const drop = (one: (typeof tries)[number]): number => -one.coefficient * one.slope * durationS;
  const meanDrop = mean(drop);
  const lagU = Math.sqrt(mean((one) => square(drop(one) - meanDrop)));
  const at = (time: number): number => curve.value(time) + lagS * curve.rate(time);
  const coolingK = at(0) - at(durationS);
  const fall = mean((one) => -one.slope) * durationS;
  return {
    source: 'logged',
    pressure: oil.map((value, i) => coefficient * (value + lagS * (rate[i] ?? 0))),
    startPa: coefficient * at(0),
    dropPa: coefficient * coolingK,
    coolingK,
    coefficient,
    coefficientU,
    lagS,
    refused: tries.every((one) => !one.believed),
    budget: [
      line(
        'temperature coefficient',
        Math.abs(fall) * coefficientU,
        'normal',
        coefficientBasis(coefficient, coefficientU),
      ),
      line(
        'lag of the probe',
        lagU,
        'normal',
        `lags of 0 to {seconds:${lags.at(-1) ?? 0}} weighed by how well they fit and how usual they are`,
      ),
      line(
        'probe stability',
        Math.abs(coefficient) * rectangularU(probeStabilityK),
        'rectangular',
        `±{kelvin:${probeStabilityK}} over a dwell (common practice, no source)`,
      ),
    ],
  };
}

/**
 * The thermal part from temperatures that a person typed: a straight line through them.
 * @returns null when fewer than two were typed or they span less than half of the dwell
 */
export function thermalFromTyped(
  blocks: Blocks,
  typed: readonly TypedOil[],
  trapped: TrappedOil,
  durationS: number,
): ThermalPart | null {
  const times = typed.map((one) => one.timeS);
  const span = Math.max(...times) - Math.min(...times);
  if (typed.length < 2 || !(span >= durationS / 2)) return null;
  const series: Series = {
    t: Float64Array.from(times),
    y: Float64Array.from(typed, (one) => one.oilK),
    weight: new Float64Array(typed.length).fill(1),
  };
  const { slope, stt } = lineThrough(series);
  const coolingK = -slope * durationS;
  const coolingU = (rectangularU(typedHalfWidthK) * durationS) / Math.sqrt(stt);
  const { thermalPaPerK: coefficient, thermalUPaPerK: coefficientU } = trapped;
  return {
    source: 'typed',
    pressure: blocks.timeS.map((t) => coefficient * slope * t),
    startPa: 0,
    dropPa: coefficient * coolingK,
    coolingK,
    coefficient,
    coefficientU,
    lagS: 0,
    refused: false,
    budget: [
      line(
        'temperature coefficient',
        Math.abs(coolingK) * coefficientU,
        'normal',
        coefficientBasis(coefficient, coefficientU),
      ),
      line(
        'typed temperature',
        coefficient * coolingU,
        'rectangular',
        `each read within ±{kelvin:${typedHalfWidthK}} (common practice, no source)`,
      ),
    ],
  };
}

/** The bound that stands for a temperature nobody measured. */
export function unmeasuredLine(halfWidthK: number, coefficient: number): BudgetLine {
  return line(
    'temperature not measured',
    rectangularU(halfWidthK) * coefficient,
    'rectangular',
    `the oil may have changed by ±{kelvin:${halfWidthK}}, a bound stated by the procedure`,
  );
}

function line(name: string, u: number, distribution: BudgetLine['distribution'], basis: string): BudgetLine {
  return { of: 'drop', name, u, degreesOfFreedom: null, distribution, basis };
}

const coefficientBasis = (coefficient: number, u: number): string =>
  `{difference:${coefficient}} a kelvin, standard uncertainty {difference:${u}}`;

/** How much of the range of lags one of them stands for. */
const gapRound = (lags: readonly number[], i: number): number =>
  lags.length === 1 ? 1 : ((lags[i + 1] ?? lags[i] ?? 0) - (lags[i - 1] ?? lags[i] ?? 0)) / 2;

function dot(a: Float64Array, b: Float64Array, weight: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (weight[i] ?? 0) * (a[i] ?? 0) * (b[i] ?? 0);
  return sum;
}

/** Oil temperature of every block, straight lines between where it is missing; null when it covers too little. */
function filledIn(blocks: Blocks, durationS: number): Float64Array | null {
  const { oil, timeS } = blocks;
  const known = Array.from(oil.keys()).filter((i) => !Number.isNaN(oil[i] ?? Number.NaN));
  const first = known[0];
  const last = known.at(-1);
  if (first === undefined || last === undefined || known.length < 3) return null;
  if ((timeS[last] ?? 0) - (timeS[first] ?? 0) < durationS / 2) return null;
  const filled = new Float64Array(oil.length);
  let next = 0;
  for (let i = 0; i < oil.length; i++) {
    while (next < known.length - 1 && (known[next] ?? 0) < i) next++;
    const right = known[next] ?? last;
    const leftOf = known[Math.max(0, next - 1)] ?? first;
    const [a, b] = [oil[leftOf] ?? 0, oil[right] ?? 0];
    const gap = (timeS[right] ?? 0) - (timeS[leftOf] ?? 0);
    const share = gap > 0 ? Math.min(1, Math.max(0, ((timeS[i] ?? 0) - (timeS[leftOf] ?? 0)) / gap)) : 0;
    filled[i] = right === i ? b : a + (b - a) * share;
  }
  return filled;
}
