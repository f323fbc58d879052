import { expect } from 'vitest';
import { type Dimension, parsePressure, parseQuantity, pressurePa, valueIn } from '../../src/units/index.js';

/** A quantity as it is written, in SI. */
export const si = (text: string, dimension: Dimension): number => parseQuantity(text, dimension);
export const mm = (value: number): number => value / 1e3;
export const bar = (value: number) => pressurePa(value * 1e5);
export const psi = (value: number) => parsePressure(`${value} psi`);

/** Agreement in the digits that the source prints. */
export function toDigits(value: number, printed: string): void {
  expect(value.toFixed(printed.split('.')[1]?.length ?? 0)).toBe(printed);
}

/** The same for a figure in SI that the source prints in a unit. */
export const printedAs = (figureSi: number, dimension: Dimension, unit: string, printed: string): void =>
  toDigits(valueIn(figureSi, dimension, unit), printed);
