import { checksumText } from '../../../src/gauge/index.js';

/** Always with its sign, and zeros before it. */
const signed = (text: string, width: number): string =>
  `${text.startsWith('-') ? '-' : '+'}${text.replace('-', '').padStart(width, '0')}`;

/** A shape of line that gauges send, and how it is to be read. */
export interface LineCase {
  readonly name: string;
  readonly line: (pressure: string, oil: string, index: number) => string;
  readonly unit: string;
  /** Pascals a unit. */
  readonly factor: number;
  readonly pattern: string;
  readonly oil?: 'C' | 'F';
  readonly decimal?: ',';
  readonly unitSeen?: false;
}

export const lineCases: readonly LineCase[] = [
  { name: 'number and unit', line: (p) => `${p} bar`, unit: 'bar', factor: 1e5, pattern: '{pressure} {unit}' },
  {
    name: 'padded, joined, signed',
    line: (p) => `${signed(p, 7)}psi`,
    unit: 'psi',
    factor: 6894.757293168361,
    pattern: '{pressure}{unit}',
  },
  {
    name: 'labels',
    line: (p, t) => `P=${p} MPa T=${t} C`,
    unit: 'MPa',
    factor: 1e6,
    pattern: 'P={pressure} {unit} T={oil} {oil_unit}',
    oil: 'C',
  },
  {
    name: 'number, unit, oil',
    line: (p, t) => `${p.padStart(8)} bar ${t} °C`,
    unit: 'bar',
    factor: 1e5,
    pattern: '{pressure} {unit} {oil} {oil_unit}',
    oil: 'C',
  },
  {
    name: 'semicolons and decimal commas',
    line: (p, t) => `${p};kPa;${t};°F`.replaceAll('.', ','),
    unit: 'kPa',
    factor: 1e3,
    pattern: '{pressure};{unit};{oil};{oil_unit}',
    oil: 'F',
    decimal: ',',
  },
  {
    name: 'status words',
    line: (p) => `ST,GS,${p},kg/cm2`,
    unit: 'kgf/cm2',
    factor: 98_066.5,
    pattern: '{status},GS,{pressure},{unit}',
  },
  { name: 'an address before', line: (p) => `01 ${p} BAR`, unit: 'bar', factor: 1e5, pattern: '01 {pressure} {unit}' },
  {
    name: 'address and checksum, no unit',
    line: (p) => {
      const body = `01${signed(p, 6)}`;
      return body + checksumText('xor', Buffer.from(body));
    },
    unit: 'bar',
    factor: 1e5,
    pattern: '01{pressure}{checksum}',
    unitSeen: false,
  },
  {
    name: 'the unit before',
    line: (p) => `psig: ${p}`,
    unit: 'psi',
    factor: 6894.757293168361,
    pattern: '{unit}: {pressure}',
  },
  {
    name: 'labels of both ports',
    line: (p) => `Pa=${p} Pb=0.3`,
    unit: 'bar',
    factor: 1e5,
    pattern: 'Pa={pressure} Pb={opposite}',
    unitSeen: false,
  },
  {
    name: 'date, time and a counter',
    line: (p, t, index) => `2026-03-14 08:00:${String(index).padStart(2, '0')} #${index} ${p} bar(g) ${t} degC`,
    unit: 'bar',
    factor: 1e5,
    pattern: '{skip} {skip} #{skip} {pressure} {unit} {oil} {oil_unit}',
    oil: 'C',
  },
  { name: 'a bare number', line: (p) => p, unit: 'bar', factor: 1e5, pattern: '{pressure}', unitSeen: false },
  {
    name: 'tabs',
    line: (p, t) => `${p}\tmbar\t${t}\tC`,
    unit: 'mbar',
    factor: 100,
    pattern: '{pressure} {unit} {oil} {oil_unit}',
    oil: 'C',
  },
  {
    name: 'a sum at the end',
    line: (p) => {
      const body = `${p} bar `;
      return body + checksumText('sum', Buffer.from(body));
    },
    unit: 'bar',
    factor: 1e5,
    pattern: '{pressure} {unit} {checksum}',
  },
  { name: 'marks beside it', line: (p) => `<${p} bar>`, unit: 'bar', factor: 1e5, pattern: '<{pressure} {unit}>' },
];
