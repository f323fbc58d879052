import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LineClock } from '../../../src/gauge/index.js';

/** A byte of 8N1 at 10,000 baud takes a millisecond. */
const clock = () => new LineClock({ baudRate: 10_000, dataBits: 8, parity: 'none', stopBits: 1 });

describe('when a line was on the wire', () => {
  it('is as many byte times before its piece came as bytes stand behind it', () => {
    const times = clock().ends({ timeUs: 100_000, bytes: 30, bytesAfter: [20, 10, 0] });
    expect(times).toEqual([80_000, 90_000, 100_000]);
  });

  it('is never before the piece before it: a virtual port sends faster than its baud rate', () => {
    const one = clock();
    one.ends({ timeUs: 100_000, bytes: 10, bytesAfter: [0] });
    const times = one.ends({ timeUs: 103_000, bytes: 30, bytesAfter: [20, 10, 0] });
    expect(times).toEqual([101_000, 102_000, 103_000]);
  });

  it('is told in steps of a tenth of a millisecond', () => {
    const one = new LineClock({ baudRate: 115_200, dataBits: 8, parity: 'none', stopBits: 1 });
    // 24 bytes of 86.8 us each are 2083 us.
    expect(one.ends({ timeUs: 100_000, bytes: 72, bytesAfter: [48, 24, 0] })).toEqual([95_800, 97_900, 100_000]);
  });

  it('only ever rises', () => {
    const one = clock();
    expect(one.ends({ timeUs: 5000, bytes: 100, bytesAfter: [99, 98, 97, 96] })).toEqual([0, 100, 101, 200]);
    expect(one.ends({ timeUs: 5000, bytes: 100, bytesAfter: [0, 0] })).toEqual([5000, 5001]);
  });
});

describe('lines that piled up while the computer was busy', () => {
  const lineBytes = 20;

  /** A gauge with a line every `beatUs`, read without delay but for one hold-up; silent from and to these times. */
  function heard({ beatUs, holdUp, silent }: { beatUs: number; holdUp: [number, number]; silent?: [number, number] }) {
    const one = new LineClock({ baudRate: 115_200, dataBits: 8, parity: 'none', stopBits: 1 });
    const [fromUs, toUs] = holdUp;
    const sent = Array.from({ length: 400 }, (_, index) => (index + 1) * beatUs).filter(
      (at) => !silent || at < silent[0] || at > silent[1],
    );
    const piled = sent.filter((at) => at > fromUs && at <= toUs);
    const take = (timeUs: number): number[] => one.ends({ timeUs, bytes: lineBytes, bytesAfter: [0] });
    const before = sent.filter((at) => at <= fromUs).flatMap(take);
    const bytes = piled.length * lineBytes;
    const bytesAfter = piled.map((_, index) => bytes - (index + 1) * lineBytes);
    const times = [
      ...before,
      ...one.ends({ timeUs: toUs, bytes, bytesAfter, sinceUs: fromUs }),
      ...sent.filter((at) => at > toUs).flatMap(take),
    ];
    return { sent, times, longestUs: Math.max(...times.slice(1).map((at, index) => at - (times[index] ?? 0))) };
  }

  const beat = fc.integer({ min: 2000, max: 250_000 });
  const fromBeat = fc.integer({ min: 30, max: 200 });

  it('stand where they were sent, within one beat, whatever the beat and the hold-up', () => {
    fc.assert(
      fc.property(beat, fromBeat, fc.double({ min: 0.3, max: 100, noNaN: true }), (beatUs, at, beats) => {
        const fromUs = at * beatUs;
        const { sent, times, longestUs } = heard({ beatUs, holdUp: [fromUs, Math.round(fromUs + beats * beatUs)] });
        // Arrival is told in steps of 0.1 ms: that is how well a mean over 16 lines knows the beat, once for each line.
        const stepsUs = 100 + (beats * 100) / 16;
        times.forEach((time, index) => {
          expect(Math.abs(time - (sent[index] ?? 0))).toBeLessThanOrEqual(beatUs + stepsUs);
        });
        expect(longestUs).toBeLessThanOrEqual(2 * beatUs + stepsUs);
      }),
    );
  });

  it('hide no silence: lines that are missing leave a gap as long', () => {
    fc.assert(
      fc.property(beat, fromBeat, fc.integer({ min: 20, max: 100 }), (beatUs, at, missing) => {
        const fromUs = at * beatUs;
        const silent: [number, number] = [fromUs + 5.5 * beatUs, fromUs + (5.5 + missing) * beatUs];
        const { longestUs } = heard({ beatUs, holdUp: [fromUs, fromUs + (missing + 20) * beatUs], silent });
        expect(longestUs).toBeGreaterThanOrEqual((missing - 1) * beatUs);
      }),
    );
  });

  it('a silence that was watched before them stays as long as it was', () => {
    const one = clock();
    for (let at = 1; at <= 40; at += 1) one.ends({ timeUs: at * 50_000, bytes: 10, bytesAfter: [0] });
    // Nothing for three seconds, then half a second in which nobody could look.
    const [first = 0] = one.ends({ timeUs: 5_500_000, bytes: 100, bytesAfter: [90, 80, 70, 60], sinceUs: 5_000_000 });
    expect(first - 2_000_000).toBeGreaterThanOrEqual(3_000_000);
  });
});
