import type { ValueType } from '../../../drivers/modbus-rtu/index.js';
import type { GaugeEntry } from '../../bench/index.js';
import { DwellmarkError } from '../../units/index.js';
import { type GaugeAddOptions, given } from './found-gauge.js';

type Span = readonly [low: number, high: number];

/** Numbers that a register may have. */
export const registers: Span = [0, 65_535];

/** @throws DwellmarkError (`usage`) for what is no whole number within the span, its ends included. */
export function wholeNumber(text: string, option: string, [low, high]: Span): number {
  const value = Number(text);
  if (text.trim() !== '' && Number.isInteger(value) && value >= low && value <= high) return value;
  throw new DwellmarkError('usage', `"${text}" is no whole number from ${low} to ${high}`, {
    advice: `Look it up in the manual; ${option} takes it too.`,
  });
}

/** What a number is multiplied by. @throws DwellmarkError (`usage`) for zero and for what is no number. */
export function scaleOf(text: string): number {
  const value = Number(text);
  if (text.trim() !== '' && Number.isFinite(value) && value !== 0) return value;
  throw new DwellmarkError('usage', `"${text}" is no scale`, { advice: 'Write for example 0.1.' });
}

/** @throws DwellmarkError (`usage`) naming the types that there are. */
export function typeOf(text: string, types: readonly ValueType[]): ValueType {
  const type = types.find((one) => one === text);
  if (type) return type;
  throw new DwellmarkError('usage', `"${text}" is no type of a value`, { advice: `Known: ${types.join(', ')}.` });
}

/** A register that a device may have; null when nobody names one. */
export async function furtherRegister(
  register: number | undefined,
  { what, option, yes }: { readonly what: string; readonly option: string; readonly yes: boolean | undefined },
): Promise<number | null> {
  if (register !== undefined) return register;
  if (yes) return null;
  const check = (answer: string): unknown => answer === '' || wholeNumber(answer, option, registers);
  const answer = await given(undefined, { question: `${what} (Enter: none)`, option, preset: '', check });
  return answer === '' ? null : Number(answer);
}

/** The key that says where a device tells how it is; asked for unless nothing is to be asked. */
export async function statusKeys({ statusRegister, statusGood, yes }: GaugeAddOptions): Promise<GaugeEntry['line']> {
  const register = await furtherRegister(statusRegister, {
    what: 'Register of a status',
    option: '--status-register',
    yes,
  });
  if (register === null) return {};
  const option = '--status-good';
  const check = (answer: string): unknown => wholeNumber(answer, option, registers);
  const question = 'Number that means well';
  const good = await given(statusGood?.toString(), { question, option, preset: '0', check, yes });
  return { status: { register, good: [Number(good)] } };
}
