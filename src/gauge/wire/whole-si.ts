import { type Pressure, pressurePa, type Temperature, temperatureK, toSi, type Unit } from '../../units/index.js';

/** A number on the wire as whole pascals, half away from zero. */
export const wholePascals = (value: number, unit: Unit): Pressure => pressurePa(roundWhole(toSi(value, unit)));

/** A number on the wire as kelvins to the millikelvin. */
export const wholeMillikelvins = (value: number, unit: Unit): Temperature =>
  temperatureK(roundWhole(toSi(value, unit) * 1000) / 1000);

/** Seconds on the wire as whole microseconds. */
export const wholeMicroseconds = (seconds: number): number => roundWhole(seconds * 1e6);

/** Above 1 TPa, or as many kelvins: digits run together, and in time no whole number any more. */
export const tooLarge = (si: number | null): boolean => si !== null && Math.abs(si) > 1e12;

/** More than ten years: no instrument has run so long, and the record has no room for many times that. */
export const tooLate = (us: number | null): boolean => us !== null && Math.abs(us) > 3.2e14;

/** Away from zero at the half and no negative zero; the last binary digit of a product must not decide it. */
function roundWhole(value: number): number {
  const size = Math.round(Math.abs(value) * (1 + Number.EPSILON));
  return value < 0 && size !== 0 ? -size : size;
}
