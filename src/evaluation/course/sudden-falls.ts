import { square } from '../../units/index.js';
import type { Blocks } from '../trace/block-means.js';
import type { CourseFit, Mixture } from './fit-course.js';
import { type Peak, type StepSetting, type Steps, stepsBySpan } from './steps.js';

/** A fall within seconds: neither heat nor creep can make one, a seal that slips or a spool that moves can. */
export interface SuddenFall {
  /** When, s from the start of the trace. */
  readonly atS: number;
  /** By how much, Pa. */
  readonly byPa: number;
  readonly uPa: number;
}

/** A fall must be greater than the greatest step up by this factor, and than a digit of the display. */
const beyondUps = 1.5;
/** And clear of the noise by so many standard deviations. */
const sure = 6;
/** So soon after the shut-in a valve and a hose come to rest, s. */
const atRestS = 5;
/**
 * Of a seal that slips some falls hide in noise, heat or one another: mean and standard deviation, as a share of those
 * that are found (the program's own, no source).
 */
const missed = 0.12;
const missedU = 0.2;

/**
 * Falls within seconds, by the windows that show most of them. The pressure of a shut-in volume falls at once for no
 * other reason than oil that left it; a display's digit, noise of any colour and a single wild reading step up as well,
 * and a steep course is as steep a little before or after.
 */
export function suddenFalls(blocks: Blocks, untilS: number, setting: StepSetting): readonly SuddenFall[] {
  const found = stepsBySpan(blocks, untilS, setting).map((steps) => clearFalls(steps, setting));
  const sum = (falls: readonly SuddenFall[]): number => falls.reduce((all, { byPa }) => all + byPa, 0);
  return found.reduce<readonly SuddenFall[]>((most, falls) => (sum(falls) > sum(most) ? falls : most), []);
}

function clearFalls({ ups, downs }: Steps, { noisePa, stepPa }: StepSetting): SuddenFall[] {
  const greatestUp = ups.reduce((most, { byPa }) => Math.max(most, byPa), 0);
  const uOf = ({ unitVariance }: Peak): number => noisePa * Math.sqrt(unitVariance);
  return downs
    .map((step) => ({ atS: step.atS, byPa: -step.byPa - Math.max(0, step.besidePa), uPa: uOf(step) }))
    .filter(
      ({ atS, byPa, uPa }) => atS > atRestS && byPa > Math.max(beyondUps * greatestUp, beyondUps * stepPa, sure * uPa),
    );
}

/** The blocks as they would stand if nothing had fallen at once. */
export function withoutFalls(blocks: Blocks, falls: readonly SuddenFall[]): Blocks {
  if (falls.length === 0) return blocks;
  const pressure = blocks.pressure.map((pa, i) => pa + fallen(falls, Number.NEGATIVE_INFINITY, blocks.timeS[i] ?? 0));
  return { ...blocks, pressure };
}

/** Fallen at once after a time and up to another, Pa. */
const fallen = (falls: readonly SuddenFall[], fromS: number, toS: number): number =>
  falls.reduce((sum, { atS, byPa }) => (atS > fromS && atS <= toS ? sum + byPa : sum), 0);

/** A fit of what is left, with what fell at once counted as lost. */
export function withFalls(fit: CourseFit, falls: readonly SuddenFall[]): CourseFit {
  if (falls.length === 0) return fit;
  const added = (lost: Mixture, fromS: number, toS: number): Mixture => {
    const byPa = fallen(falls, fromS, toS);
    const noise = falls.reduce((sum, { atS, uPa }) => (atS > fromS && atS <= toS ? sum + square(uPa) : sum), 0);
    const more = noise + square(missedU * byPa);
    const moved = <Part extends { readonly mean: number; readonly variance: number }>(part: Part): Part => ({
      ...part,
      mean: part.mean + (1 + missed) * byPa,
      variance: part.variance + more,
    });
    return { ...moved(lost), parts: lost.parts.map(moved) };
  };
  return {
    ...fit,
    loss: (fromS, toS) => added(fit.loss(fromS, toS), fromS, toS),
    lossAt: (timeS) => fit.lossAt(timeS) + fallen(falls, 0, timeS),
  };
}
