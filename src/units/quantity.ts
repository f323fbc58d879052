declare const kind: unique symbol;

/**
 * Pressure, pressure difference, temperature and temperature difference are four types: the difference of two
 * pressures on one gauge loses its offset and gain errors, and a difference of 9 degF is 5 K where 9 degF is 260 K.
 * Every other quantity is a plain number in SI with its unit in the name (`volumeM3`, `rampMaxPaPerS`, `dwellS`).
 */
export type Pressure = number & { readonly [kind]: 'pressure' };
export type PressureDifference = number & { readonly [kind]: 'pressure difference' };
export type Temperature = number & { readonly [kind]: 'temperature' };
export type TemperatureDifference = number & { readonly [kind]: 'temperature difference' };

/** Gauge pressure in pascals, 0 = atmosphere. */
export const pressurePa = (value: number): Pressure => value as Pressure;
/** Difference of two pressures in pascals. */
export const pressureDifferencePa = (value: number): PressureDifference => value as PressureDifference;
/** Absolute temperature in kelvins. */
export const temperatureK = (value: number): Temperature => value as Temperature;
/** Difference of two temperatures in kelvins. */
export const temperatureDifferenceK = (value: number): TemperatureDifference => value as TemperatureDifference;

/**
 * How far pressure fell from `start` to `end`; positive for a fall.
 * @example fall(pressurePa(250e5), pressurePa(245e5)) // 5e5
 */
export const fall = (start: Pressure, end: Pressure): PressureDifference => pressureDifferencePa(start - end);

/** A pressure moved by a difference. */
export const moved = (from: Pressure, by: PressureDifference): Pressure => pressurePa(from + by);
