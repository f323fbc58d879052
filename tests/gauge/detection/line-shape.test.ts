import { describe, expect, it } from 'vitest';
import { proposeLineShape } from '../../../src/gauge/index.js';
import { lineCases } from './line-cases.js';

/** A gauge going up through a change of width, with one value below zero where its shape allows a sign. */
const values = Array.from({ length: 12 }, (_, index) => 95 + index * 1.7);

describe('lines of an unknown gauge are read right with nothing typed', () => {
  it.each(lineCases)('$name', ({ line, unit, factor, pattern, oil, decimal, unitSeen }) => {
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
