import type { Reading } from '../../src/gauge/index.js';
import type { HoldInput } from '../../src/holdtest/index.js';
import { pressurePa } from '../../src/units/index.js';

/** A leg of a drawn trace: for `s` seconds the pressure goes in a straight line to `toBar`. */
export interface Leg {
  readonly s: number;
  readonly toBar: number;
}

/** Readings along straight legs from zero, with a small repeatable ripple in place of noise. */
export function drawTrace(
  legs: readonly Leg[],
  options: { hz?: number; rippleBar?: number; startUs?: number; fromBar?: number } = {},
): Reading[] {
  const stepUs = Math.round(1e6 / (options.hz ?? 10));
  const readings: Reading[] = [];
  let timeUs = options.startUs ?? 0;
  let fromBar = options.fromBar ?? 0;
  for (const leg of legs) {
    const count = Math.round((leg.s * 1e6) / stepUs);
    for (let i = 1; i <= count; i++) {
      const ripple = (options.rippleBar ?? 0.01) * Math.sin(readings.length * 2.399963);
      const bar = fromBar + ((leg.toBar - fromBar) * i) / count + ripple;
      readings.push({ timeUs, pressurePa: pressurePa(Math.round(bar * 1e5)), oppositePa: null, oilK: null, flags: 0 });
      timeUs += stepUs;
    }
    fromBar = leg.toBar;
  }
  return readings;
}

/** As the inputs of an imported log. */
export function asInputs(readings: readonly Reading[]): HoldInput[] {
  const inputs: HoldInput[] = readings.map((reading) => ({ kind: 'reading', reading }));
  inputs.push({ kind: 'end', timeUs: readings.at(-1)?.timeUs ?? 0, why: 'end of trace' });
  return inputs;
}

/** Zero, ramp, a settled hold with a fall in bar a minute, and bleed-down. */
export const plainHold = (fallBarPerMin: number, holdS = 170, targetBar = 242): Leg[] => [
  { s: 5, toBar: 0 },
  { s: targetBar / 5, toBar: targetBar },
  { s: holdS, toBar: targetBar - (fallBarPerMin * holdS) / 60 },
  { s: 8, toBar: 0 },
  { s: 15, toBar: 0 },
];
