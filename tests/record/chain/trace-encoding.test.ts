import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Reading } from '../../../src/gauge/index.js';
import { encodeReadings, GatheredReadings, type LinkKind, readingsKind } from '../../../src/record/chain/index.js';
import { decodeReadings, linkKinds, traceStart } from '../../../src/record/index.js';
import { pressurePa, temperatureK } from '../../../src/units/index.js';
import { sampleReadings } from '../sample-test.js';

const pressure = fc.option(fc.integer({ min: -200_000, max: 300_000_000 }).map(pressurePa), { nil: null });
const reading: fc.Arbitrary<Reading> = fc.record({
  timeUs: fc.nat({ max: 2 ** 50 }),
  pressurePa: pressure,
  oppositePa: pressure,
  oilK: fc.option(
    fc.integer({ min: 233_150, max: 423_150 }).map((milli) => temperatureK(milli / 1000)),
    { nil: null },
  ),
  flags: fc.nat({ max: 63 }),
});

const packed = (readings: readonly Reading[], cursor = traceStart()): Uint8Array =>
  encodeReadings(GatheredReadings.of(readings).columns(), cursor);
const unpacked = (payload: Uint8Array, cursor = traceStart(), kind: LinkKind = readingsKind) =>
  decodeReadings({ kind, payload }, cursor);

/** Bytes of readings written in chunks of so many. */
function bytesOf(readings: readonly Reading[], chunk: number): number {
  const cursor = traceStart();
  let bytes = 0;
  for (let at = 0; at < readings.length; at += chunk) bytes += packed(readings.slice(at, at + chunk), cursor).length;
  return bytes;
}

describe('readings packed into chunks', () => {
  it('come back exactly, whatever their values, gaps and flags', () => {
    fc.assert(
      fc.property(fc.array(fc.array(reading, { maxLength: 40 }), { maxLength: 6 }), (chunks) => {
        const [writing, readingBack] = [traceStart(), traceStart()];
        for (const chunk of chunks) expect([...unpacked(packed(chunk, writing), readingBack)]).toEqual(chunk);
      }),
    );
  });

  it.each([
    ['0.1 bar gauge, a chunk a second', { seconds: 600 }, 10, 2.2],
    ['0.1 bar gauge, chunks of an import', { seconds: 600 }, 2048, 1.3],
    ['0.1 psi gauge', { seconds: 600, resolutionPa: 689.4757 }, 10, 3],
    ['0.1 bar gauge on a serial line, with a jitter of 1 ms', { seconds: 600, jitterUs: 1000, beatUs: 100 }, 10, 3],
    ['the same with a jitter of 4 ms', { seconds: 600, jitterUs: 4000, beatUs: 100 }, 10, 3],
    ['0.1 bar gauge whose times are told to the microsecond', { seconds: 600, jitterUs: 1000 }, 10, 4],
  ])('%s with oil temperature at 10 Hz', (_name, shape, chunk, most) => {
    const readings = sampleReadings(shape);
    expect(bytesOf(readings, chunk) / readings.length).toBeLessThan(most);
  });

  it('of encoding 1, as records of before hold them, are read as they were', () => {
    const first = '05323c00c09a0c030000c801a3024e08904e0002de03e221100a96cd0300020002028001';
    const second =
      '46db16010544c22de196704bb825dc126e09b7845bc22de196704bb825dc126e09b7845bc22de196704bb825dc05126e09370004111181111118118111111811811111181181111118118111111811811111181104811111e80702a8aaaaaaaaaaaaaaaaaaaaaaaaaaaaaa02aa0a0004080000000000000000000000000000000000000000000000000000000000000000';
    const cursor = traceStart();
    const [start, goesOn] = [first, second].map((hex) => [
      ...unpacked(Buffer.from(hex, 'hex'), cursor, linkKinds.readings),
    ]);
    expect(start?.map(({ timeUs }) => timeUs)).toEqual([0, 100_000, 200_300, 299_900, 400_000]);
    expect(start?.map(({ pressurePa: pa }) => pa)).toEqual([0, 10_000, 2_400_000, null, 24_010_000]);
    expect(start?.map(({ oilK }) => oilK)).toEqual([295.15, 295.15, 295.16, 295.16, null]);
    expect(start?.map(({ flags }) => flags)).toEqual([0, 0, 0, 2, 0]);
    expect(goesOn).toEqual(
      Array.from({ length: 70 }, (_, index) => ({
        timeUs: 500_000 + index * 100_000 + (index % 3) * 7,
        pressurePa: 24_000_000 - 10_000 * (index % 5),
        oppositePa: 1000 * index,
        oilK: 295.2,
        flags: 0,
      })),
    );
  });

  it('of a line that keeps the beat, off it and on again, come back exactly', () => {
    const [writing, reading] = [traceStart(), traceStart()];
    const times = [0, 100_000, 200_100, 300_000, 400_050, 500_100, 600_100, 700_300, 800_200];
    const [one] = sampleReadings({ seconds: 1 });
    for (let at = 0; at < times.length; at += 3) {
      const chunk = times.slice(at, at + 3).map((timeUs): Reading => ({ ...(one as Reading), timeUs }));
      expect([...unpacked(packed(chunk, writing), reading)]).toEqual(chunk);
    }
  });

  it.each([
    [[6_545_242, 3_586_588_384_315 * 100, 817_524_278_494_574, 27_424_487_501_962]],
    [[9_498_876, 1_023_991_004_687_597, 9_473_546, 1_016_962_406_468_823, 388_937_285_418_042, 3_355_693]],
  ])('times that jump by decades come back exactly: %j', (times) => {
    const [one] = sampleReadings({ seconds: 1 });
    const readings = times.map((timeUs): Reading => ({ ...(one as Reading), timeUs }));
    expect([...unpacked(packed(readings))]).toEqual(readings);
  });

  it('a time or a flag that is missing is damage', () => {
    for (const modes of [0, 1, 4, 1 << 2])
      expect(() => unpacked(Uint8Array.of(2, modes, 0, 0, 0, 0))).toThrow('a stored chunk');
    // Time as expected from a start of 0 and a step of 1; the flags absent.
    expect(() => unpacked(Uint8Array.of(2, 1, 0, 0, 2))).toThrow('a stored chunk lacks a value');
  });

  it('a value off the whole-number grid is a bug and says so', () => {
    const [good] = sampleReadings({ seconds: 1 });
    const bad = { ...(good as Reading), pressurePa: pressurePa(1.5) };
    expect(() => packed([bad])).toThrow('pressurePa is 1.5');
    const far = { ...(good as Reading), timeUs: 2 ** 50 + 1 };
    expect(() => packed([far])).toThrow('timeUs is 1125899906842625, more than can be kept');
    const warm = { ...(good as Reading), oilK: temperatureK(298.1501) };
    expect(() => packed([warm])).toThrow('millikelvin');
  });

  it('bytes cut short, run on or made up are damage, never readings and never a hang', () => {
    const whole = packed(sampleReadings({ seconds: 3 }));
    for (let length = 0; length < whole.length; length += 1)
      expect(() => unpacked(whole.slice(0, length))).toThrow('a stored chunk');
    expect(() => unpacked(Uint8Array.of(...whole, 0))).toThrow('a stored chunk');
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 60 }), (bytes) => {
        try {
          unpacked(bytes);
        } catch (error) {
          expect(String(error)).toContain('a stored chunk');
        }
      }),
    );
  });
});
