import { describe, expect, it } from 'vitest';
import { compareCollected } from '../../src/evaluation/collected.js';
import {
  checksumText,
  decodeLine,
  lineGrammar,
  readingFlags,
  readMark,
  readMarkNumber,
  readNumber,
  supervisionLimits,
} from '../../src/gauge/index.js';

describe('numbers of IEEE 488.2-1992, 8.7.2 to 8.7.4 (examples from memory)', () => {
  it.each([
    // NR1: whole numbers.
    ['123', 123],
    ['-2', -2],
    ['+00', 0],
    // NR2: a point.
    ['12.3', 12.3],
    ['-0.5', -0.5],
    ['+250.00', 250],
    // NR3: an exponent.
    ['1.23E+4', 12_300],
    ['-1.0E-2', -0.01],
    ['+2.5370E+02', 253.7],
  ])('%s is %f', (text, value) => {
    expect(readNumber(text, '.')).toBe(value);
  });

  it.each(['1.2.3', '1E', 'E5', '0x1F', '1 000', '--1', '1,5', ''])('%j is no number', (text) => {
    expect(readNumber(text, '.')).toBeUndefined();
  });

  it('a line in NR3 is a pressure', () => {
    const line = decodeLine(lineGrammar({ pattern: '{pressure}', unit: 'bar' }), '+2.5370E+02');
    expect(line.ok && line.pressurePa).toBe(25_370_000);
  });
});

describe('what SCPI-1999, volume 1, 7.2.1 writes where there is no number (from memory): never a pressure', () => {
  const grammar = lineGrammar({ pattern: '{pressure}', unit: 'Pa' });
  it.each([
    ['9.91E37', readingFlags.overRange],
    ['+9.91E+37', readingFlags.overRange],
    ['9.9E37', readingFlags.overRange],
    ['-9.9E37', readingFlags.underRange],
    ['NAN', readingFlags.noValue],
    ['INF', readingFlags.overRange],
    ['-INF', readingFlags.underRange],
  ])('%s', (text, flag) => {
    const line = decodeLine(grammar, text);
    expect(line).toMatchObject({ ok: true, pressurePa: null });
    if (line.ok) expect(line.flags & flag).toBe(flag);
    const number = readNumber(text, '.');
    const mark = number === undefined ? readMark(text) : readMarkNumber(number);
    expect(mark?.flag).toBe(flag);
  });
});

describe('checksums of NMEA 0183: XOR of what stands between $ and * (its rule quoted; sentences from memory)', () => {
  it.each([
    ['GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,', '47'],
    ['GPGLL,5057.970,N,00146.110,E,142451,A', '27'],
    ['GPGLL,4916.45,N,12311.12,W,225444,A,', '1D'],
  ])('%s*%s', (sentence, sum) => {
    expect(checksumText('xor', Buffer.from(sentence))).toBe(sum);
  });
});

describe("rules of the program's own (common practice, no source)", () => {
  it('a gauge is silent after 2 s or five of its readings, whichever is longer', () => {
    const of = (ratePerS: number) =>
      supervisionLimits({ rangeLowPa: 0, rangeHighPa: 4e7, resolutionPa: 1e4, ratePerS });
    expect(of(10).silentAfterS).toBe(2);
    expect(of(0.5).silentAfterS).toBe(10);
  });

  it('oil collected and pressure lost agree within a factor of 2', () => {
    expect(compareCollected({ leakM3PerS: 1.9e-9, expandedU: 0 }, 1e-9).agrees).toBe(true);
    expect(compareCollected({ leakM3PerS: 2.1e-9, expandedU: 0 }, 1e-9).agrees).toBe(false);
    expect(compareCollected({ leakM3PerS: 1e-9, expandedU: 0 }, 1.9e-9).agrees).toBe(true);
    expect(compareCollected({ leakM3PerS: 1e-9, expandedU: 0 }, 2.1e-9).agrees).toBe(false);
  });
});
