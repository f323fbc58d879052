import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Reading } from '../../../src/gauge/index.js';
import { decodeReadings, encodeReadings, traceStart } from '../../../src/record/index.js';
import { pressurePa, temperatureK } from '../../../src/units/index.js';
import { sampleReadings } from '../sample-test.js';

const pressure = fc.option(fc.integer({ min: -200_000, max: 300_000_000 }).map(pressurePa), { nil: null });
const reading: fc.Arbitrary<Reading> = fc.record({
  timeUs: fc.nat({ max: 2 ** 45 }),
  pressurePa: pressure,
  oppositePa: pressure,
  oilK: fc.option(
    fc.integer({ min: 233_150, max: 423_150 }).map((milli) => temperatureK(milli / 1000)),
    { nil: null },
  ),
  flags: fc.nat({ max: 63 }),
});

/** Bytes of readings written in chunks of so many. */
function bytesOf(readings: readonly Reading[], chunk: number): number {
  const cursor = traceStart();
  let bytes = 0;
  for (let at = 0; at < readings.length; at += chunk)
    bytes += encodeReadings(readings.slice(at, at + chunk), cursor).length;
  return bytes;
}

describe('readings packed into chunks', () => {
  it('come back exactly, whatever their values, gaps and flags', () => {
    fc.assert(
      fc.property(fc.array(fc.array(reading, { maxLength: 40 }), { maxLength: 6 }), (chunks) => {
        const [writing, readingBack] = [traceStart(), traceStart()];
        for (const chunk of chunks)
          expect([...decodeReadings(encodeReadings(chunk, writing), readingBack)]).toEqual(chunk);
      }),
    );
  });

  it.each([
    ['0.1 bar gauge, a chunk a second', { seconds: 600 }, 10, 2.2],
    ['0.1 bar gauge, chunks of an import', { seconds: 600 }, 2048, 1.3],
    ['0.1 psi gauge', { seconds: 600, resolutionPa: 689.4757 }, 10, 3],
    ['0.1 bar gauge whose times come in with a jitter of 1 ms', { seconds: 600, jitterUs: 1000 }, 10, 4],
  ])('%s with oil temperature at 10 Hz', (_name, shape, chunk, most) => {
    const readings = sampleReadings(shape);
    expect(bytesOf(readings, chunk) / readings.length).toBeLessThan(most);
  });

  it('a value off the whole-number grid is a bug and says so', () => {
    const [good] = sampleReadings({ seconds: 1 });
    const bad = { ...(good as Reading), pressurePa: pressurePa(1.5) };
    expect(() => encodeReadings([bad], traceStart())).toThrow('pressurePa is 1.5');
    const warm = { ...(good as Reading), oilK: temperatureK(298.1501) };
    expect(() => encodeReadings([warm], traceStart())).toThrow('millikelvin');
  });

  it('bytes cut short, run on or made up are damage, never readings and never a hang', () => {
    const whole = encodeReadings(sampleReadings({ seconds: 3 }), traceStart());
    for (let length = 0; length < whole.length; length += 1)
      expect(() => decodeReadings(whole.slice(0, length), traceStart())).toThrow('a stored chunk');
    expect(() => decodeReadings(Uint8Array.of(...whole, 0), traceStart())).toThrow('a stored chunk');
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 60 }), (bytes) => {
        try {
          decodeReadings(bytes, traceStart());
        } catch (error) {
          expect(String(error)).toContain('a stored chunk');
        }
      }),
    );
  });
});
