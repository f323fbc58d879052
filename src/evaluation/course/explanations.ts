import { exp, log } from '../../units/index.js';
import type { Cells } from './cells.js';
import { type HeatLaw, heatFall, heatLaws } from './heat.js';
import type { Term } from './regression.js';
import type { Rise } from './rises.js';

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
