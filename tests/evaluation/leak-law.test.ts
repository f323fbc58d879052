import { describe, expect, it } from 'vitest';
import { leakLaws, steadily } from '../../src/evaluation/course/leak-law.js';

const cells = (pressureAt: (timeS: number) => number) => {
  const t = Float64Array.from({ length: 40 }, (_, i) => 3.75 + 7.5 * i);
  const blank = t.map(() => 0);
  return { t, y: t.map((timeS) => pressureAt(timeS) - 200e5), count: blank.map(() => 1), oil: blank };
};

describe('what a leak loses as the pressure that drives it falls', () => {
  it('is the same a second as long as the fall is small', () =>
    expect(
      leakLaws(
        cells((timeS) => 240e5 - 0.01e5 * timeS),
        200e5,
      ),
    ).toEqual([steadily]));

  // dp/dt = -p/tau has p = p0 exp(-t/tau); dp/dt = -a sqrt(p) has sqrt(p) = sqrt(p0) - a t / 2.
  it.each([
    ['a gap', 2, (timeS: number) => 240e5 * Math.exp(-timeS / 300)],
    ['an orifice', 1, (timeS: number) => 240e5 * (1 - timeS / 700) ** 2],
  ] as const)('through %s adds up to the fall itself', (_, place, pressureAt) => {
    const law = leakLaws(cells(pressureAt), 200e5)[place];
    const seconds = (timeS: number): number => law?.secondsAt(timeS) ?? 0;
    const scale = (pressureAt(0) - pressureAt(290)) / (seconds(290) - seconds(0));
    for (const [from, to] of [
      [0, 60],
      [50, 51],
      [100, 250],
    ] as const)
      expect((seconds(to) - seconds(from)) * scale).toBeCloseTo(pressureAt(from) - pressureAt(to), -4.5);
  });

  it('is nothing any more once there is no pressure', () => {
    const gap = leakLaws(
      cells((timeS) => Math.max(0, 240e5 * (1 - timeS / 100))),
      200e5,
    )[2];
    expect(gap?.secondsAt(280)).toBeCloseTo(gap?.secondsAt(150) ?? 0, 6);
  });
});
