import { describe, expect, it } from 'vitest';
import { decodeLine, type LineSettings, lineGrammar, readingFlags } from '../../../src/gauge/index.js';

const timed = { pattern: '{elapsed} {pressure}', unit: 'bar' } as const;

const decode = (settings: LineSettings, text: string) => decodeLine(lineGrammar(settings), text);
const bar = { pattern: '{pressure} {unit}', unit: 'bar' };

describe('a line is read whole or not at all', () => {
  it.each([
    ['253.7 bar', 25_370_000],
    ['  +0253.70\tBAR ', 25_370_000],
    ['- 0.5 bar', -50_000],
    ['-0.0 bar', 0],
    ['2.537E2 barg', 25_370_000],
    ['.5 bar', 50_000],
  ])('%j is %i Pa', (text, pressurePa) => {
    expect(decode(bar, text)).toMatchObject({ ok: true, pressurePa, flags: 0, trouble: [] });
  });

  it('takes the time from a gauge that tells its own', () => {
    const timed = { pattern: '{elapsed} s {pressure} {unit}', unit: 'bar' };
    expect(decode(timed, '  12.345 s +0253.7 bar')).toMatchObject({
      ok: true,
      elapsedUs: 12_345_000,
      pressurePa: 25_370_000,
    });
    expect(decode(timed, '-- s +0253.7 bar').ok).toBe(false);
    expect(decode(bar, '253.7 bar')).toMatchObject({ elapsedUs: null });
  });

  it.each([
    '253.7',
    '253.7bar',
    '253.7 bar x',
    'x253.7 bar',
    '25 3.7 bar',
    '253.7.1 bar',
    '253,7 bar',
    '0x10 bar',
    '१२ bar',
  ])('%j is no reading', (text) => {
    expect(decode(bar, text).ok).toBe(false);
  });

  it.each([
    ['OL bar', readingFlags.overRange, 'over-range'],
    ['OVER bar', readingFlags.overRange, 'over-range'],
    ['HHHH bar', readingFlags.overRange, 'over-range'],
    ['9.9E37 bar', readingFlags.overRange, 'over-range'],
    ['LLLL bar', readingFlags.underRange, 'under-range'],
    ['-OL bar', readingFlags.underRange, 'under-range'],
    ['---- bar', readingFlags.noValue, 'no-value'],
    ['--.-- bar', readingFlags.noValue, 'no-value'],
    ['NaN bar', readingFlags.noValue, 'no-value'],
  ])('%j is no value, and says why', (text, flags, code) => {
    const line = decode({ ...bar, pattern: '/\\s*(?<pressure>\\S+) (?<unit>\\S+)/' }, text);
    expect(line).toMatchObject({ ok: true, pressurePa: null, flags, trouble: [{ code }] });
    expect(decode(bar, text)).toEqual(line);
  });

  it("takes an instrument's own numbers for no value", () => {
    expect(decode({ ...bar, noValueNumbers: [32767] }, '32767 bar')).toMatchObject({ ok: true, pressurePa: null });
    expect(decode(bar, '32767 bar')).toMatchObject({ ok: true, pressurePa: 3_276_700_000 });
  });

  it('takes a unit that was not set, or an absolute one, for no value', () => {
    for (const text of ['3679 psi', '254.7 bara', '25.37 MPa'])
      expect(decode(bar, text)).toMatchObject({
        ok: true,
        pressurePa: null,
        flags: readingFlags.otherUnit,
        trouble: [{ code: 'unit-changed' }],
      });
  });

  it('reads two ports, oil temperature, status and address from one line', () => {
    const settings: LineSettings = {
      pattern: 'A{skip};{status};{pressure};{opposite};{unit};{oil}{oil_unit}',
      unit: 'kgf/cm2',
      oilUnit: 'F',
      decimal: ',',
    };
    expect(decode(settings, 'A07;OK;100,0;1,50;kg/cm²;68°F')).toMatchObject({
      ok: true,
      pressurePa: 9_806_650,
      oppositePa: 147_100,
      oilK: 293.15,
    });
    expect(decode(settings, 'A07;HOLD;100,0;1,50;kg/cm²;68°F')).toMatchObject({
      pressurePa: null,
      oppositePa: null,
      flags: readingFlags.notLive,
      trouble: [{ code: 'no-value', text: 'the gauge says that it is holding a value' }],
    });
    expect(decode(settings, 'A07;PEAK;100,0;1,50;kg/cm²;68°F')).toMatchObject({ flags: readingFlags.otherUnit });
    expect(decode(settings, 'A07;ZERO;100,0;1,50;kg/cm²;68°F')).toMatchObject({
      pressurePa: 9_806_650,
      trouble: [{ code: 'zero-shift', text: 'the gauge was zeroed' }],
    });
    expect(decode(settings, 'A07;WOBBLE;100,0;1,50;kg/cm²;68°F')).toEqual({
      ok: false,
      code: 'bad-line',
      reason: 'has the unknown status word "WOBBLE"',
    });
    expect(decode({ ...settings, status: { WOBBLE: 'live' } }, 'A07;WOBBLE;1,0;1,5;kg/cm²;68°F').ok).toBe(true);
  });

  it.each([
    ['xor', '37'],
    ['sum', 'BB'],
    ['twos-complement', '45'],
    ['crc16', 'AA98'],
  ] as const)('checks the %s of a line', (checksum, mark) => {
    const settings: LineSettings = { pattern: '01{pressure}{checksum}', unit: 'bar', checksum };
    expect(decode(settings, `01+0253.7${mark}`)).toMatchObject({ ok: true, pressurePa: 25_370_000 });
    expect(decode(settings, `01+0253.8${mark}`)).toMatchObject({ ok: false, code: 'checksum' });
  });
});

it('refuses a time that no instrument has run for', () => {
  expect(decode(timed, '5000000.0 250.0')).toMatchObject({ ok: true, elapsedUs: 5e12 });
  expect(decode(timed, '5000000000.0 250.0')).toMatchObject({ ok: false, code: 'bad-line' });
});

it('lines without a pressure need no unit of one', () => {
  expect(decode({ pattern: '{oil} C' }, '37.5 C')).toMatchObject({ ok: true, pressurePa: null, oilK: 310.65 });
  expect(() => lineGrammar({ pattern: '{pressure}' })).toThrow(/has a \{pressure\}, but the unit of the pressure/);
});
