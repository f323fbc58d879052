import { exp, log } from '../../units/index.js';
import type { Rise } from './rises.js';

/** How the heat of compression may leave the oil: its law and its time. */
export interface HeatLaw {
  readonly law: 'well stirred' | 'natural convection' | 'conduction';
  readonly timeS: number;
}

/** Share of the heat that is still in the oil some time after a sudden rise. */
export function heatLeft({ law, timeS }: HeatLaw, afterS: number): number {
  const x = Math.max(0, afterS) / timeS;
  switch (law) {
    case 'well stirred':
      return exp(-x);
    case 'natural convection':
      // dT/dt = -T^(4/3)/time: the flow that carries the heat away slows down with it (Nu ~ Ra^(1/3)).
      return 1 / cube(1 + x / 3);
    case 'conduction':
      return conductionLeft(x);
    default:
      return law satisfies never;
  }
}

const cube = (value: number): number => value * value * value;

/** Squares of the zeros of the Bessel function J0 (Abramowitz and Stegun 1964, table 9.5). */
const besselZerosSquared = [5.783186, 30.471262, 74.887007, 139.040284, 222.932303, 326.563353];

/**
 * Mean temperature of a round bar whose surface is held, sum of 4/b2 exp(-b2 Fo) (Carslaw and Jaeger 1959, 7.6); time
 * is scaled so that the slowest part has the time constant 1. What the first six parts leave out leaves at once.
 */
function conductionLeft(x: number): number {
  const place = Math.sqrt(x / longest) * (tabled.length - 1);
  const at = Math.floor(place);
  if (at >= tabled.length - 1) return 0;
  const low = tabled[at] ?? 0;
  return low + ((tabled[at + 1] ?? 0) - low) * (place - at);
}

function conductionSum(x: number): number {
  const slowest = besselZerosSquared[0] ?? 1;
  let [sum, whole] = [0, 0];
  for (const zero of besselZerosSquared) {
    const part = 4 / zero;
    whole += part;
    sum += part * exp((-zero / slowest) * x);
  }
  return sum / whole;
}

/** The sum at evenly spaced roots of time, up to where nothing is left. */
const longest = 25;
const tabled = Float64Array.from({ length: 1025 }, (_, i) => conductionSum(longest * (i / 1024) * (i / 1024)));

/** Times tried, from the least to the greatest, evenly in their logarithm. */
export function heatLaws(leastS: number, greatestS: number): HeatLaw[] {
  const times = 12;
  const step = log(greatestS / leastS) / (times - 1);
  const laws: HeatLaw[] = [];
  for (const law of ['well stirred', 'natural convection', 'conduction'] as const)
    for (let i = 0; i < times; i++) laws.push({ law, timeS: leastS * exp(i * step) });
  return laws;
}

/**
 * Fall of the pressure since the shut-in by heat, for a size of 1: a rise of 1 Pa long ago that has given away all its
 * heat has fallen by 1 Pa. Falls within the hold cool the oil, which warms again: what is still missing of that is a
 * fall, too, so that the rest is the loss at the temperature of the surroundings.
 */
export function heatFall(law: HeatLaw, rises: readonly Rise[], t: Float64Array): Float64Array {
  const fall = new Float64Array(t.length);
  for (const { timeS, byPa } of rises) {
    if (byPa === 0) continue;
    const before = timeS <= 0;
    const start = before ? heatLeft(law, -timeS) : 0;
    for (let i = 0; i < t.length; i++) {
      const sinceS = (t[i] ?? 0) - timeS;
      if (before || sinceS >= 0) fall[i] = (fall[i] ?? 0) + byPa * (start - heatLeft(law, sinceS));
    }
  }
  return fall;
}
