import { describe, expect, it } from 'vitest';
import { checksumText, proposeLineShape } from '../../../src/gauge/index.js';

interface Case {
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

const cases: readonly Case[] = [
  { name: 'number and unit', line: (p) => `${p} bar`, unit: 'bar', factor: 1e5, pattern: '{pressure} {unit}' },
  {
    name: 'padded, joined, signed',
    line: (p) => `+${p.padStart(7, '0')}psi`,
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
      const body = `01+${p.padStart(6, '0')}`;
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

/** A gauge going up through a change of width, with one value below zero where its shape allows a sign. */
const values = Array.from({ length: 12 }, (_, index) => 95 + index * 1.7);

describe('lines of an unknown gauge are read right with nothing typed', () => {
  it.each(cases)('$name', ({ line, unit, factor, pattern, oil, decimal, unitSeen }) => {
    const oilAt = (index: number): number => 21 + index / 10;
    const lines = values.map((value, index) => line(value.toFixed(1), oilAt(index).toFixed(1), index));
    const proposal = proposeLineShape(lines);
    expect(proposal?.settings).toMatchObject({
      pattern,
      unit,
      ...(oil ? { oilUnit: oil } : {}),
      ...(decimal ? { decimal } : {}),
    });
    expect(proposal?.fits).toBe(1);
    expect(proposal?.unitSeen).toBe(unitSeen ?? true);
    expect(proposal?.step).toBeCloseTo(0.1, 12);
    expect(proposal?.readings.map((reading) => reading.pressurePa)).toEqual(
      values.map((value) => Math.round(Number(value.toFixed(1)) * factor)),
    );
    expect(proposal?.readings.map((reading) => reading.oilK)).toEqual(
      values.map((_, index) => {
        if (!oil) return null;
        const shown = Number(oilAt(index).toFixed(1));
        return Math.round((oil === 'C' ? shown + 273.15 : ((shown - 32) * 5) / 9 + 273.15) * 1000) / 1000;
      }),
    );
  });

  it('below zero too', () => {
    const lines = [-0.4, -0.3, 0, 0.2, -0.1].map(
      (value) => `${value < 0 ? '-' : '+'}${Math.abs(value).toFixed(1)} bar`,
    );
    expect(proposeLineShape(lines)?.readings.map((reading) => reading.pressurePa)).toEqual([
      -40_000, -30_000, 0, 20_000, -10_000,
    ]);
  });

  it('both ports before one unit', () => {
    const lines = values.map((value) => `A;${value.toFixed(1)};${(value / 50).toFixed(1)};bar`);
    const proposal = proposeLineShape(lines);
    expect(proposal?.settings.pattern).toBe('A;{pressure};{opposite};{unit}');
    expect(proposal?.readings[0]).toMatchObject({ pressurePa: 9_500_000, oppositePa: 190_000 });
  });

  it('though some lines are noise or without a value', () => {
    const lines = values.map((value, index) =>
      index === 3 ? '\u0000\u00ff#' : index === 5 ? 'OL bar' : `${value.toFixed(1)} bar`,
    );
    const proposal = proposeLineShape(lines);
    expect(proposal?.settings.pattern).toBe('{pressure} {unit}');
    expect(proposal?.readings.length).toBe(11);
    expect(proposal?.readings[4]?.pressurePa).toBeNull();
  });
});

it.each([[['253.7 bar']], [['hello', 'world', 'again']], [['', ' ', '']]])('%j proposes nothing', (lines) => {
  expect(proposeLineShape(lines)).toBeUndefined();
});
