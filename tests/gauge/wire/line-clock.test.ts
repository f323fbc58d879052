import { describe, expect, it } from 'vitest';
import { LineClock } from '../../../src/gauge/index.js';

/** A byte of 8N1 at 10,000 baud takes a millisecond. */
const clock = () => new LineClock({ baudRate: 10_000, dataBits: 8, parity: 'none', stopBits: 1 });

describe('when a line was on the wire', () => {
  it('is as many byte times before its piece came as bytes stand behind it', () => {
    const one = clock();
    one.piece(100_000, 30);
    expect([20, 10, 0].map((after) => one.ended(after))).toEqual([80_000, 90_000, 100_000]);
  });

  it('is never before the piece before it: a virtual port sends faster than its baud rate', () => {
    const one = clock();
    one.piece(100_000, 10);
    one.ended(0);
    one.piece(103_000, 30);
    expect([20, 10, 0].map((after) => one.ended(after))).toEqual([101_000, 102_000, 103_000]);
  });

  it('is spread evenly over a time in which nobody could look', () => {
    const one = clock();
    one.piece(100_000, 10);
    one.piece(2_100_000, 40, true);
    expect([30, 20, 10, 0].map((after) => one.ended(after))).toEqual([600_000, 1_100_000, 1_600_000, 2_100_000]);
  });

  it('is told in steps of a tenth of a millisecond', () => {
    const one = new LineClock({ baudRate: 115_200, dataBits: 8, parity: 'none', stopBits: 1 });
    one.piece(100_000, 72);
    // 24 bytes of 86.8 us each are 2083 us.
    expect([48, 24, 0].map((after) => one.ended(after))).toEqual([95_800, 97_900, 100_000]);
  });

  it('only ever rises', () => {
    const one = clock();
    one.piece(5000, 100);
    expect([99, 98, 97, 96].map((after) => one.ended(after))).toEqual([0, 100, 101, 200]);
    one.piece(5000, 100);
    expect(one.ended(0)).toBe(5000);
    expect(one.ended(0)).toBe(5001);
  });
});
