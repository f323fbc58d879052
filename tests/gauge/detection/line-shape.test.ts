import { describe, expect, it } from 'vitest';
import { checksumText, proposeLineShape } from '../../../src/gauge/index.js';
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

describe('lines with a temperature, its unit and no pressure are those of an oil probe', () => {
  const degrees = Array.from({ length: 12 }, (_, index) => (38.25 + index / 8).toFixed(2));
  it.each<[what: string, line: (text: string, index: number) => string, pattern: string, oilUnit: string]>([
    ['number and unit', (t) => `${t} C`, '{oil} {oil_unit}', 'C'],
    ['a degree sign', (t) => `${t.padStart(8)} \u00b0C`, '{oil} {oil_unit}', 'C'],
    ['a label', (t) => `T=${t} degF`, 'T={oil} {oil_unit}', 'F'],
    ['a word of its own', (t) => `Oil: ${t}F`, 'Oil: {oil}{oil_unit}', 'F'],
    ['kelvins', (t) => `${t} K`, '{oil} {oil_unit}', 'K'],
    ['an address before', (t) => `01 ${t} C`, '01 {oil} {oil_unit}', 'C'],
    ['a status word', (t) => `ST,${t},C`, '{status},{oil},{oil_unit}', 'C'],
    ['date and time', (t, i) => `2026-03-14 08:00:${10 + i} ${t} C`, '{skip} {skip} {oil} {oil_unit}', 'C'],
    ['a second sensor', (t) => `T1=${t} C T2=21.55 C`, 'T1={oil} {oil_unit} T2={skip} C', 'C'],
  ])('%s', (_, line, pattern, oilUnit) => {
    const proposal = proposeLineShape(degrees.map(line));
    expect(proposal).toMatchObject({ measures: 'oil', fits: 1, settings: { pattern, oilUnit } });
    expect(proposal?.step).toBeCloseTo(0.01, 12);
    expect(proposal?.readings.map(({ pressurePa }) => pressurePa)).toEqual(degrees.map(() => null));
    const inK = { C: (t: number) => t + 273.15, F: (t: number) => ((t - 32) * 5) / 9 + 273.15, K: (t: number) => t };
    const toK = inK[oilUnit as keyof typeof inK];
    expect(proposal?.readings.map(({ oilK }) => oilK)).toEqual(
      degrees.map((text) => Math.round(toK(Number(text)) * 1000) / 1000),
    );
  });

  it.each<[what: string, line: (text: string, index: number) => string, pattern: string]>([
    ['a pressure with its unit', (t) => `${t} C 253.7 bar`, '{oil} {oil_unit} {pressure} {unit}'],
    ['a number with decimals that has no unit', (t) => `253.7 ${t} C`, '{pressure} {oil} {oil_unit}'],
    ['a whole number that changes', (t, i) => `${5000 - i} ${t} C`, '{pressure} {oil} {oil_unit}'],
    ['a labelled one', (t) => `P=0 T=${t} C`, 'P={pressure} T={oil} {oil_unit}'],
  ])('but not beside %s', (_, line, pattern) => {
    expect(proposeLineShape(degrees.map(line))).toMatchObject({ measures: 'pressure', settings: { pattern } });
  });

  it('nor without a unit of temperature: a label alone may mean anything', () => {
    expect(proposeLineShape(degrees.map((text) => `T=${text}`))?.measures).not.toBe('oil');
  });
});

describe('what neither unit nor label tells apart is proposed both ways', () => {
  const shown = ['21', '22', '20', '21', '21', '23', '21', '22', '21', '20', '21', '22'];
  it.each<[what: string, line: (text: string) => string, gauge: string, probe: string]>([
    ['a bare whole number', (t) => t, '{pressure}', '{oil}'],
    ['a bare number with decimals', (t) => `${t}.5`, '{pressure}', '{oil}'],
    ['a vented gauge at zero', () => '0.0', '{pressure}', '{oil}'],
    ['an address before', (t) => `01 ${t}.5`, '01 {pressure}', '01 {oil}'],
    ['a word that is no unit', (t) => `${t}.5 units`, '{pressure} units', '{oil} units'],
    ['a label alone', (t) => `T=${t}.5`, 'T={pressure}', 'T={oil}'],
  ])('%s', (_, line, gauge, probe) => {
    const lines = shown.map(line);
    const proposal = proposeLineShape(lines);
    expect(proposal).toMatchObject({ measures: 'pressure', unitSeen: false, settings: { pattern: gauge } });
    expect(proposal?.otherwise).toMatchObject({ measures: 'oil', settings: { pattern: probe } });
    expect(proposal?.otherwise?.readings.map(({ pressurePa, oilK }) => [pressurePa, oilK !== null])).toEqual(
      lines.map(() => [null, true]),
    );
    const asGauge = proposeLineShape(lines, { unit: 'psi' });
    expect(asGauge).toMatchObject({ measures: 'pressure', settings: { pattern: gauge, unit: 'psi' } });
    const asProbe = proposeLineShape(lines, { unit: 'F' });
    expect(asProbe).toMatchObject({ measures: 'oil', settings: { pattern: probe, oilUnit: 'F' } });
    expect(asProbe?.settings).not.toHaveProperty('unit');
    for (const one of [asGauge, asProbe]) expect(one).not.toHaveProperty('otherwise');
  });

  it.each([
    ['0', '0 {oil} {oil_unit}', '{pressure} {oil} {oil_unit}'],
    ['21', '21 {oil} {oil_unit}', '{pressure} {oil} {oil_unit}'],
  ])('a whole number beside a temperature that never changes: %s', (number, probe, gauge) => {
    const lines = shown.map((text) => `${number} ${text}.5 C`);
    const proposal = proposeLineShape(lines);
    expect(proposal).toMatchObject({ measures: 'oil', settings: { pattern: probe } });
    expect(proposal?.otherwise).toMatchObject({ measures: 'pressure', settings: { pattern: gauge } });
    expect(proposeLineShape(lines, { unit: 'bar' })?.settings.pattern).toBe(gauge);
    expect(proposeLineShape(lines, { unit: 'C' })?.settings.pattern).toBe(probe);
  });

  it.each<[what: string, line: (text: string) => string]>([
    ['a unit', (t) => `${t}.5 bar`],
    ['a unit of temperature', (t) => `${t}.5 C`],
    ['a label of a pressure', (t) => `P=${t}.5`],
    ['both ports', (t) => `Pa=${t}.5 Pb=0.3`],
    ['more than oil could ever be', (t) => `2${t}.5`],
    ['an address as addresses are written', (t) => `01 ${t}.5 C`],
  ])('but not with %s', (_, line) => {
    const proposal = proposeLineShape(shown.map(line));
    expect(proposal?.fits).toBe(1);
    expect(proposal).not.toHaveProperty('otherwise');
  });
});

it.each([
  ['psia', '253.7 psia', 'psia'],
  ['bar(a)', '253.7bar(a)', 'bar(a)'],
  ['ftH2O', 'P=253.7 ftSW', 'ftSW'],
  ['nothing', '253.7', undefined],
  ['a word that changes', '253.7 X', undefined],
])('the word behind the value when it is no unit known here: %s', (_, text, unknownUnit) => {
  const lines = Array.from({ length: 6 }, (__, index) => text.replace('X', index % 2 ? 'up' : 'down'));
  expect(proposeLineShape(lines)?.unknownUnit).toBe(unknownUnit);
});

describe('a pattern that was given is taken as it is', () => {
  const odd = values.map((value, index) => `${index % 2 ? '>' : '<'}${value.toFixed(2)}/${100 + index}/x bar`);

  it('also for lines that nobody could guess, with unit and step as they are seen', () => {
    const proposal = proposeLineShape(odd, { pattern: '/[<>](?<pressure>[0-9.]+)\\/.*\\/x (?<unit>\\S+)/' });
    expect(proposal).toMatchObject({ measures: 'pressure', unitSeen: true, fits: 1, settings: { unit: 'bar' } });
    expect(proposal?.step).toBeCloseTo(0.01, 12);
    expect(proposal?.readings[0]?.pressurePa).toBe(9_500_000);
  });

  it('without a place for the checksum that the lines have, and as a probe when it reads no pressure', () => {
    const summed = values.map((value) => {
      const body = `${value.toFixed(1)} C `;
      return body + checksumText('sum', Buffer.from(body));
    });
    const proposal = proposeLineShape(summed, { pattern: '{oil} C {skip}' });
    expect(proposal).toMatchObject({ measures: 'oil', fits: 1, settings: { pattern: '{oil} C {skip}' } });
    expect(proposal?.settings).not.toHaveProperty('checksum');
  });

  it('and proposes nothing where no line fits it', () => {
    expect(proposeLineShape(odd, { pattern: '{pressure} psi' })).toBeUndefined();
  });
});

it.each([[['253.7 bar']], [['hello', 'world', 'again']], [['', ' ', '']]])('%j proposes nothing', (lines) => {
  expect(proposeLineShape(lines)).toBeUndefined();
});
