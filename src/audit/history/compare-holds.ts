import type { StageResult } from '../../evaluation/index.js';
import { airGivePerPa, type TrappedOil } from '../../hydraulics/index.js';
import { exp, log, pressurePa, rootSumSquares, square } from '../../units/index.js';

/** One hold as it is compared with another of the same cylinder. */
export interface HoldSide {
  readonly stage: StageResult;
  readonly trapped: TrappedOil;
  /** Mean temperature of the oil in the dwell, K; null: nobody measured it. */
  readonly oilK: number | null;
}

/** How a leak was left against how it was found, at the pressure and the oil temperature of the hold as left. */
export interface HoldsCompared {
  readonly atPa: number;
  readonly atK: number | null;
  /** The leak as found, taken to that pressure and temperature, m3/s, and its expanded uncertainty (95 %). */
  readonly foundM3PerS: number;
  readonly foundUM3PerS: number;
  readonly leftM3PerS: number;
  readonly leftUM3PerS: number;
  /** As left less as found; negative: it leaks less now. */
  readonly differenceM3PerS: number;
  readonly differenceUM3PerS: number;
  readonly word: ComparedWord;
}

export type ComparedWord = 'better' | 'worse' | 'same' | "can't tell";

/** Viscosity of a mineral oil falls by 5 to 6 % a kelvin between 20 and 35 °C: common practice, no source. */
const viscosityPerK = 0.06;
/** Oil that nobody measured may have been so much warmer or colder than at the other hold, half-width, K: our own bound. */
const unknownWarmthK = 10;
/** A measured mean stands for the oil in the gap within this, standard uncertainty, K: our own estimate. */
const knownWarmthK = 1;
/** Free air by which two fillings of one cylinder may differ, standard uncertainty, share of the volume: our own estimate. */
const fillingAir = 0.005;
/** Two leaks are the same when they differ, uncertainty included, by no more than this share of the allowed leak: our own rule. */
const sameShare = 0.25;

/**
 * The difference of two leaks of one cylinder with its uncertainty (95 %).
 *
 * What is common to both and so cancels in the difference: trapped volume and stiffness, where both plans state the same
 * figures (the same cylinder, lines and oil: an error of V/K scales both leaks alike). The gain of a gauge cancels in
 * each leak already where the two holds share a gauge, and is far below the rest where they don't. What is not common:
 * everything in the drop (noise, resolution, drift, temperature), the air that each filling left in the oil, and the
 * conditions. The leak as found is taken to the pressure and oil temperature of the hold as left by a law between the
 * two that a leak can follow: a narrow gap (with pressure, against viscosity) and a hole (with the root of pressure);
 * what the two laws differ by is a part of the uncertainty.
 * @returns null when one of the holds has no leak rate.
 */
export function compareHolds(found: HoldSide, left: HoldSide): HoldsCompared | null {
  const [before, after] = [leakOf(found), leakOf(left)];
  if (before === null || after === null) return null;
  const conditions = conditionsFactor(found, left, before.pa, after.pa);
  const foundLeak = conditions.factor * before.leak;
  const difference = after.leak - foundLeak;
  const isCommon = sameOil(found.trapped, left.trapped);
  const [foundRelU, leftRelU] = [oilRelU(found.trapped), oilRelU(left.trapped)];
  const oilU = isCommon
    ? Math.abs(difference) * Math.max(foundRelU, leftRelU)
    : rootSumSquares(foundRelU * foundLeak, leftRelU * after.leak);
  const k = Math.max(found.stage.coverageFactor ?? 2, left.stage.coverageFactor ?? 2, 2);
  const ownU = rootSumSquares(
    conditions.factor * before.dropU,
    conditions.relU * foundLeak,
    airRelU(found.trapped, before.pa) * foundLeak,
  );
  const afterU = rootSumSquares(after.dropU, airRelU(left.trapped, after.pa) * after.leak);
  const u = k * rootSumSquares(ownU, afterU, oilU);
  return {
    atPa: after.pa,
    atK: left.oilK,
    foundM3PerS: foundLeak,
    foundUM3PerS: k * rootSumSquares(ownU, foundRelU * foundLeak),
    leftM3PerS: after.leak,
    leftUM3PerS: k * rootSumSquares(afterU, leftRelU * after.leak),
    differenceM3PerS: difference,
    differenceUM3PerS: u,
    word: wordFor(difference, u, allowedLeak(left.stage) ?? Math.max(foundLeak, after.leak)),
  };
}

function wordFor(difference: number, u: number, yardstick: number): ComparedWord {
  if (Math.abs(difference) > u) return difference < 0 ? 'better' : 'worse';
  return Math.abs(difference) + u <= sameShare * yardstick ? 'same' : "can't tell";
}

interface Leak {
  readonly leak: number;
  /** Standard uncertainty from the drop alone, m3/s. */
  readonly dropU: number;
  readonly pa: number;
}

function leakOf({ stage }: HoldSide): Leak | null {
  const { leakM3PerS: leak, leakUncertaintyM3PerS: expanded, startPa, endPa, verdict } = stage;
  if (leak === null || expanded === null || startPa === null || verdict === 'invalid') return null;
  const drop = stage.budget.find(({ of, name }) => of === 'leak' && name === 'pressure drop');
  return { leak, dropU: drop?.u ?? expanded / 2, pa: (startPa + (endPa ?? startPa)) / 2 };
}

/** A hole (0) or a narrow gap (1), either as likely: their mean, and how far each lies from it. */
const law = { mean: 0.5, u: 0.5 } as const;

function conditionsFactor(found: HoldSide, left: HoldSide, foundPa: number, leftPa: number) {
  const rootOfPressure = 0.5 * log(leftPa / foundPa);
  const measured = found.oilK !== null && left.oilK !== null;
  const warmerK = measured ? (left.oilK ?? 0) - (found.oilK ?? 0) : 0;
  const warmthU = measured ? knownWarmthK * Math.SQRT2 : unknownWarmthK / Math.sqrt(3);
  const gapOverHole = rootOfPressure + viscosityPerK * warmerK;
  return {
    factor: exp(rootOfPressure + law.mean * gapOverHole),
    relU: rootSumSquares(law.u * gapOverHole, viscosityPerK * warmthU * Math.sqrt(square(law.mean) + square(law.u))),
  };
}

const oilRelU = ({ volumeM3, volumeUM3, bulkModulusPa, bulkModulusUPa }: TrappedOil): number =>
  rootSumSquares(volumeUM3 / volumeM3, bulkModulusUPa / bulkModulusPa);

/** What air that one filling left in the oil does to its stiffness, as a share. */
const airRelU = ({ bulkModulusPa }: TrappedOil, pa: number): number =>
  fillingAir * bulkModulusPa * airGivePerPa(pressurePa(pa));

const sameOil = (one: TrappedOil, other: TrappedOil): boolean =>
  one.volumeM3 === other.volumeM3 && one.volumeUM3 === other.volumeUM3 && one.basis === other.basis;

/** Leak and drop of a hold are in one proportion, V/(K t): so is what is allowed. */
export const allowedLeak = ({
  leakM3PerS,
  dropPa,
  allowedDropPa,
}: Pick<StageResult, 'leakM3PerS' | 'dropPa' | 'allowedDropPa'>): number | null =>
  leakM3PerS === null || !dropPa || allowedDropPa === null ? null : (leakM3PerS / dropPa) * allowedDropPa;
