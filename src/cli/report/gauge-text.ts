import type { Reading, SeenSignal } from '../../gauge/index.js';
import type { GaugeSpec } from '../../procedure/index.js';
import { findUnit, formatQuantity, formatSignificant, fromSi, shownUnit, valueIn } from '../../units/index.js';

/** How a gauge's figures are written: in the unit on its display, to its own last digit. */
export interface GaugeScale {
  readonly unit: string;
  readonly decimals: number;
  readonly oilUnit: string;
}

/** @param step one step of the display, in its unit. */
export const gaugeScale = (unit: string, step: number, oilUnit = 'C'): GaugeScale => ({
  unit,
  decimals: decimalsOf(step),
  oilUnit,
});

const decimalsOf = (step: number): number => Math.min(6, Math.max(0, Math.ceil(-Math.log10(step) - 1e-6)));

export function scaleOf({ unit = 'bar', resolutionPa }: GaugeSpec): GaugeScale {
  return gaugeScale(unit, valueIn(resolutionPa, 'pressure-difference', unit));
}

/** The same of an oil probe. @param step in the unit of its temperature. */
export const probeScale = (unit: string, step: number): Pick<GaugeScale, 'oilUnit' | 'decimals'> => ({
  oilUnit: unit,
  decimals: decimalsOf(step),
});

/** `oil 21.53 °C`, to the probe's own last digit. */
export const probeText = ({ oilK }: Reading, { oilUnit, decimals }: Pick<GaugeScale, 'oilUnit' | 'decimals'>): string =>
  `oil ${oilK === null ? '----' : formatQuantity(oilK, 'temperature', oilUnit, decimals)}`;

/** `250.1 bar, port B 3.0 bar, oil 21.5 °C`; dashes where the gauge gave no value. */
export function readingText(reading: Reading, scale: GaugeScale, has: { opposite: boolean; oil: boolean }): string {
  const level = (pa: number | null): string =>
    pa === null ? `---- ${shownUnit(scale.unit)}` : formatQuantity(pa, 'pressure', scale.unit, scale.decimals);
  return [
    level(reading.pressurePa),
    ...(has.opposite ? [`other port ${level(reading.oppositePa)}`] : []),
    ...(has.oil ? [probeText(reading, { ...scale, decimals: 1 })] : []),
  ].join(', ');
}

/** Rate, jitter, noise and resolution as seen, beside the resolution that the shop file states. */
export function seenText(seen: SeenSignal, scale: GaugeScale, statedStepPa: number | null): string {
  const difference = (pa: number): string => {
    const unit = findUnit('pressure-difference', scale.unit);
    return unit === undefined ? 'n/a' : `${formatSignificant(fromSi(pa, unit), 2)} ${shownUnit(scale.unit)}`;
  };
  const stated = statedStepPa === null ? '' : ` (${difference(statedStepPa)} stated)`;
  return [
    beatText(seen),
    `noise ${seen.noisePa === null ? 'n/a' : difference(seen.noisePa)}`,
    `steps of ${seen.stepPa === null ? 'n/a, the value stands still' : difference(seen.stepPa)}${stated}`,
  ].join('; ');
}

/** How many readings, and how they come: all that is told of a probe. */
export const beatText = (seen: Pick<SeenSignal, 'readings' | 'withoutValue' | 'ratePerS' | 'jitterS'>): string =>
  [
    `${seen.readings} readings${seen.withoutValue > 0 ? `, ${seen.withoutValue} without a value` : ''}`,
    `rate ${seen.ratePerS === null ? 'n/a' : `${formatSignificant(seen.ratePerS, 3)} a second`}`,
    `jitter ${seen.jitterS === null ? 'n/a' : `${formatSignificant(seen.jitterS * 1000, 2)} ms`}`,
  ].join('; ');
