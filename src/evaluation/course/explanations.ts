import { exp, log } from '../../units/index.js';
import type { Cells } from './cells.js';
import type { Term } from './regression.js';

/** A change of the pressure before the hold: when, s before or after the shut-in, and by how much, Pa. */
export interface Rise {
  readonly timeS: number;
  readonly byPa: number;
}

const most = 32;

/** Readings this close together belong to one rise, until there are too many of them. */
const firstSpanUs = 1_000_000;

/**
 * The pressure's way to the shut-in, in constant memory: at most 32 changes, each over a span that doubles when they
 * are too many. What the compression put into the oil as heat follows from it, top-ups and bleeds included.
 */
export class RiseHistory {
  #spanUs = firstSpanUs;
  #changes: { timeUs: number; byPa: number }[] = [];
  #lastPa: number | null = null;
  #openUs = 0;
  #openFromPa = 0;

  add(timeUs: number, pressurePa: number): void {
    if (!Number.isFinite(pressurePa)) return;
    if (this.#lastPa === null) {
      this.#openUs = timeUs;
      this.#openFromPa = pressurePa;
    } else if (timeUs - this.#openUs >= this.#spanUs) {
      this.#changes.push({ timeUs: (this.#openUs + timeUs) / 2, byPa: pressurePa - this.#openFromPa });
      this.#openUs = timeUs;
      this.#openFromPa = pressurePa;
      if (this.#changes.length === most) this.#halve();
    }
    this.#lastPa = pressurePa;
  }

  /** The changes up to now, times counted from the shut-in. */
  until(shutInUs: number): readonly Rise[] {
    const open = this.#lastPa === null ? 0 : this.#lastPa - this.#openFromPa;
    const all = open === 0 ? this.#changes : [...this.#changes, { timeUs: this.#openUs, byPa: open }];
    return all.map(({ timeUs, byPa }) => ({ timeS: Math.min(0, (timeUs - shutInUs) / 1e6), byPa }));
  }

  #halve(): void {
    const merged: { timeUs: number; byPa: number }[] = [];
    for (let i = 0; i < this.#changes.length; i += 2) {
      const [a, b] = [this.#changes[i], this.#changes[i + 1]];
      if (!a) continue;
      if (!b) merged.push(a);
      else {
        const size = Math.abs(a.byPa) + Math.abs(b.byPa);
        const share = size > 0 ? Math.abs(b.byPa) / size : 0.5;
        merged.push({ timeUs: a.timeUs + (b.timeUs - a.timeUs) * share, byPa: a.byPa + b.byPa });
      }
    }
    this.#changes = merged;
    this.#spanUs *= 2;
  }
}

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

/** What a fall of pressure may be beside a leak, as terms of the course. A fall is positive. */
export interface Explanation {
  readonly name: 'nothing known' | 'heat of compression' | 'oil temperature';
  /** Odds given beforehand; they add up to 1 over all explanations of a course. */
  readonly prior: number;
  readonly term: Term | null;
  /** Lag between oil and probe, s. */
  readonly lagS: number;
  /** The term at any time. */
  at(timeS: number): number;
}

/** A part of the course that is there in every explanation, by its size for 1 at a time, and what is known of its size. */
export interface Beside {
  at(timeS: number): number;
  readonly mean: number;
  readonly sd: number;
}

/** Heat of compression in a hold: how much of a rise may be lost, and how quickly. */
export interface HeatSetting {
  /** Fall for each pascal of a quick rise once all its heat has gone. */
  readonly share: number;
  /** Least and greatest time in which the oil gives its heat to the wall, s. */
  readonly leastS: number;
  readonly greatestS: number;
  /** Time in which oil and wall together give theirs to the room, s. */
  readonly outerS: number;
}

/**
 * Share of the heat that the oil gives to walls, rod and piston before all are equally warm, and its standard
 * deviation: steel of a usual cylinder takes up about as much heat as its oil (common practice, no source).
 */
const toWall = 0.55;
const toWallU = 0.18;

/** Odds that a hold shows no heat at all: pumped slowly, or left to cool before. */
const noHeat = 0.4;

/** Explanations by heat: laws and times, each equally likely beforehand. */
export function heatExplanations(
  cells: Cells,
  rises: readonly Rise[],
  setting: HeatSetting,
  odds: number,
): Explanation[] {
  const laws = heatLaws(setting.leastS, setting.greatestS);
  const outer = { law: 'well stirred', timeS: setting.outerS } as const;
  const fallAt = (law: HeatLaw, t: Float64Array): Float64Array => {
    const toRoom = heatFall(outer, rises, t);
    return heatFall(law, rises, t).map((fall, i) => fall + ((1 - toWall) / toWall) * (toRoom[i] ?? 0));
  };
  const none: Explanation = { ...nothingKnown, prior: odds * noHeat };
  const byLaw = laws.map(
    (law): Explanation => ({
      name: 'heat of compression',
      prior: (odds * (1 - noHeat)) / laws.length,
      term: {
        values: fallAt(law, cells.t),
        mean: setting.share * toWall,
        sd: setting.share * toWallU,
      },
      lagS: 0,
      at: remembered((timeS) => fallAt(law, Float64Array.of(timeS))[0] ?? 0),
    }),
  );
  return [none, ...byLaw];
}

/** By how much the heat that oil and metal give to the room differs from the usual: hardly known. */
export function outerHeat(rises: readonly Rise[], { share, outerS }: HeatSetting, probed: boolean): Beside {
  const law = { law: 'well stirred', timeS: outerS } as const;
  const at = remembered((timeS) => heatFall(law, rises, Float64Array.of(timeS))[0] ?? 0);
  return { at, mean: 0, sd: (probed ? seenByProbe : outerU) * share * (1 - toWall) };
}

/** Creep of seals and hoses goes with the logarithm of time (common practice, no source). */
export const creep = (levelPa: number): Beside => ({
  at: (timeS) => log(1 + Math.max(0, timeS) / 30),
  mean: (creepShare / 2) * levelPa,
  sd: creepShare * levelPa,
});

/** A valve closing, a hose coming to rest, a gauge's filter. */
export const closing = (levelPa: number): Beside => ({
  at: (timeS) => 1 - exp(-Math.max(0, timeS) / closingS),
  mean: 0,
  sd: closingShare * levelPa,
});

/** Standard deviation of the heat that goes to the room, as a share of the usual, without and with a probe. */
const outerU = 0.6;
const seenByProbe = 0.1;
/** Shares of the level that creep over a minute, and a valve or a filter closing, are expected to reach. */
const creepShare = 0.0008;
const closingShare = 0.002;
/** Closing is over in a few of these, s. */
const closingS = 8;

/** Without a ramp nothing is known of heat: one explanation that adds nothing. */
export const nothingKnown: Explanation = { name: 'nothing known', prior: 1, term: null, lagS: 0, at: () => 0 };

/** A function of time that is asked for the same few times again and again. */
function remembered(at: (timeS: number) => number): (timeS: number) => number {
  const known = new Map<number, number>();
  return (timeS) => {
    let value = known.get(timeS);
    if (value === undefined) {
      value = at(timeS);
      known.set(timeS, value);
    }
    return value;
  };
}
