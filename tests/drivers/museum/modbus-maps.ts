import type { ValueType, WordOrder } from '../../../drivers/modbus-rtu/index.js';

/** One instrument on Modbus: where its pressure stands and how, and what must come of it when it is set up. */
export interface ModbusExhibit {
  readonly name: string;
  readonly over?: 'tcp';
  /** Functions that it knows; both when absent. */
  readonly functions?: readonly (3 | 4)[];
  /** As its manual counts. */
  readonly register: number;
  readonly countsFrom?: 1;
  readonly type?: ValueType;
  readonly order?: WordOrder;
  readonly scale?: number;
  readonly unit?: string;
  /** Pascals a unit. */
  readonly factor?: number;
  /** Of the display, in its unit. */
  readonly range?: readonly [low: number, high: number];
  /** Where it stands, in its unit; 253 when absent. */
  readonly about?: number;
  /** What lies before and behind the value. */
  readonly around?: readonly [before: number, behind: number];
  /** The word order or the counting can't be told at this pressure: a person is asked. */
  readonly asks?: true;
  /** Oil temperature in tenths of a degree in that register. */
  readonly oilRegister?: number;
  /** A status register that reads 0 when all is well. */
  readonly statusRegister?: number;
}

const psi = 6894.757293168361;
const kgf = 98_066.5;

/** Maps invented with the traits of real ones. Common practice, no source. */
export const modbusExhibits: readonly ModbusExhibit[] = [
  { name: 'float at 0', register: 0 },
  { name: 'float at 0, low word first', register: 0, order: 'CDAB' },
  { name: 'float, bytes swapped', register: 0, order: 'BADC' },
  { name: 'float, all reversed', register: 0, order: 'DCBA' },
  { name: 'float at 256', register: 256 },
  { name: 'float, input registers alone', register: 2, functions: [4] },
  { name: 'float, holding registers alone', register: 2, functions: [3] },
  { name: 'float, counted from 1', register: 1, countsFrom: 1 },
  { name: 'float, counted from 1, low word first', register: 101, countsFrom: 1, order: 'CDAB' },
  { name: 'float in psi', register: 0, unit: 'psi', factor: psi, range: [0, 5000], about: 3600 },
  { name: 'float in MPa', register: 0, unit: 'MPa', factor: 1e6, range: [0, 40], about: 25 },
  { name: 'float in kPa', register: 0, unit: 'kPa', factor: 1e3, range: [0, 40_000], about: 25_300 },
  { name: 'float in kgf/cm2', register: 0, unit: 'kgf/cm2', factor: kgf },
  { name: 'float in mbar', register: 4, unit: 'mbar', factor: 100, range: [0, 400_000], about: 253_000 },
  { name: 'tenths of a bar in 16 bits', register: 0, type: 'int16', scale: 0.1 },
  { name: 'tenths of a bar in 16 bits without a sign', register: 0, type: 'uint16', scale: 0.1 },
  {
    name: 'hundredths in 16 bits, bytes swapped',
    register: 0,
    type: 'int16',
    scale: 0.01,
    order: 'BADC',
    about: 300,
    asks: true,
  },
  {
    name: 'whole psi in 16 bits',
    register: 7,
    type: 'uint16',
    unit: 'psi',
    factor: psi,
    range: [0, 10_000],
    about: 3600,
  },
  { name: 'hundredths in 32 bits', register: 0, type: 'int32', scale: 0.01 },
  { name: 'hundredths in 32 bits, low word first', register: 0, type: 'int32', scale: 0.01, order: 'CDAB' },
  { name: 'pascals in 32 bits without a sign', register: 10, type: 'uint32', scale: 1e-5 },
  { name: 'pascals in 32 bits, all reversed', register: 10, type: 'uint32', scale: 1e-5, order: 'DCBA' },
  {
    name: 'thousandths of MPa in 16 bits',
    register: 3,
    type: 'int16',
    unit: 'MPa',
    factor: 1e6,
    scale: 0.001,
    range: [0, 32],
    about: 25,
  },
  { name: 'float with oil and status', register: 0, oilRegister: 4, statusRegister: 5 },
  { name: 'float with oil far off', register: 0, oilRegister: 90 },
  { name: 'float on a gateway', over: 'tcp', register: 0 },
  {
    name: 'float on a gateway, low word first, counted from 1',
    over: 'tcp',
    register: 41,
    countsFrom: 1,
    order: 'CDAB',
  },
  {
    name: 'tenths on a gateway, input registers alone',
    over: 'tcp',
    register: 0,
    type: 'int16',
    scale: 0.1,
    functions: [4],
  },
  { name: 'pascals on a gateway in 32 bits', over: 'tcp', register: 6, type: 'int32', scale: 1e-5, oilRegister: 8 },
  {
    name: 'the value twice, counted from 0 and from 1',
    register: 1,
    type: 'int16',
    scale: 0.1,
    around: [2528, 2532],
    asks: true,
  },
  { name: 'no pressure on it: every order reads zero', register: 0, about: 0, asks: true },
];
