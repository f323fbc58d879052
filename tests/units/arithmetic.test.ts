import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cosOfTurns, cube, exp, log, log1p, power, rootSumSquares, sinOfTurns, square } from '../../src/units/index.js';

/** How many units of the last place two numbers lie apart. */
function unitsApart(a: number, b: number): number {
  if (Object.is(a, b) || a === b) return 0;
  const step = Math.max(Math.abs(a), Math.abs(b), Number.MIN_VALUE) * Number.EPSILON;
  return Math.abs(a - b) / step;
}

const finite = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe("functions that are the same on every engine, beside the engine's own", () => {
  it.each([
    ['exp', exp, Math.exp, finite(-700, 700)],
    ['log', log, Math.log, finite(1e-300, 1e300)],
    ['log near 1', log, Math.log, finite(0.5, 2)],
    ['log1p', log1p, Math.log1p, finite(-0.9, 10)],
    ['log1p of little', log1p, Math.log1p, finite(-1e-6, 1e-6)],
  ] as const)('%s within 2 units of the last place', (_name, own, engine, values) => {
    fc.assert(
      fc.property(values, (x) => unitsApart(own(x), engine(x)) <= 2),
      { numRuns: 5000 },
    );
  });

  it.each([
    ['sine', sinOfTurns, Math.sin],
    ['cosine', cosOfTurns, Math.cos],
  ] as const)('%s of a part of a turn within 4e-16', (_name, own, engine) => {
    fc.assert(
      fc.property(finite(-0.5, 0.5), (turns) => Math.abs(own(turns) - engine(2 * Math.PI * turns)) <= 4e-16),
      { numRuns: 5000 },
    );
  });

  it('knows quarter turns exactly, however many turns there are', () => {
    expect([0, 0.25, 0.5, 0.75, 12_345_678.25].map((turns) => sinOfTurns(turns) + 0)).toEqual([0, 1, 0, -1, 1]);
    expect([0, 0.25, 0.5, 1e15].map((turns) => cosOfTurns(turns) + 0)).toEqual([1, 0, -1, 1]);
    expect(sinOfTurns(1e6 + 0.125)).toBeCloseTo(Math.SQRT1_2, 10);
  });

  it('powers within 24 units of the last place', () => {
    fc.assert(
      fc.property(
        finite(1e-3, 1e3),
        finite(-3, 3),
        (base, exponent) => unitsApart(power(base, exponent), base ** exponent) <= 24,
      ),
    );
    expect([square(-3), cube(-3), power(0, 2)]).toEqual([9, -27, 0]);
  });

  it('ends where numbers end', () => {
    expect([exp(710), exp(-746), exp(0), log(0), log(1), log(Number.POSITIVE_INFINITY)]).toEqual([
      Number.POSITIVE_INFINITY,
      0,
      1,
      Number.NEGATIVE_INFINITY,
      0,
      Number.POSITIVE_INFINITY,
    ]);
    expect([exp(Number.NaN), log(-1), sinOfTurns(Number.NaN)]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
    expect(log(5e-324)).toBeCloseTo(-744.4400719213812, 10);
    expect(exp(-744)).toBeGreaterThan(0);
    expect(rootSumSquares(3, 4, 12)).toBe(13);
    expect(rootSumSquares()).toBe(0);
  });

  it('is the same to the last bit as when it was written down', () => {
    const bits = (x: number): string =>
      Buffer.from(new Float64Array([x]).buffer)
        .reverse()
        .toString('hex');
    expect(
      [exp(0.1), log(0.1), log1p(0.1), sinOfTurns(0.1), cosOfTurns(0.1), exp(-7.25), log(1e7)].map(bits),
    ).toMatchInlineSnapshot(`
      [
        "3ff1aec7b35a00d4",
        "c0026bb1bbb55515",
        "3fb8663f793c46c7",
        "3fe2cf2304755a5e",
        "3fe9e3779b97f4a8",
        "3f47455fe323fafe",
        "40301e3b843eaa73",
      ]
    `);
  });
});
