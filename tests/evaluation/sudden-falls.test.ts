import { describe, expect, it } from 'vitest';
import { suddenFalls, withoutFalls } from '../../src/evaluation/course/steps.js';
import { seeded } from '../record/sample-test.js';

const bar = 1e5;
const seed = Math.floor(Math.random() * 1e6);

/** Blocks of one reading each: a course in bar by the second, with noise of a normal distribution. */
function blocksOf(course: (s: number) => number, noiseBar: number, hz = 2) {
  const random = seeded(seed);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const length = 300 * hz;
  const timeS = Float64Array.from({ length }, (_, i) => i / hz);
  return {
    length,
    timeS,
    count: new Float64Array(length).fill(1),
    pressure: timeS.map((s) => (course(s) + noiseBar * normal()) * bar),
    oil: new Float64Array(length).fill(Number.NaN),
    referencePa: 0,
    referenceK: Number.NaN,
    total: { n: length, meanT: 150, meanP: 0, stt: 1, stp: 0, spp: 0 },
  };
}

const setting = (noiseBar: number) => ({ noisePa: noiseBar * bar, stepPa: 0 });
const heat = (s: number): number => -8 * (1 - Math.exp(-s / 60));
const slips = [31, 77, 140, 141, 203, 251];
const slipping = (s: number): number => heat(s) - slips.filter((at) => at <= s).length * 0.8;

describe(`falls within seconds, noise by chance (seed ${seed})`, () => {
  it('a seal that slips six times by 0.8 bar: 4 to 5.2 of the 4.8 bar, within a window of their times', () => {
    const falls = suddenFalls(blocksOf(slipping, 0.03), 300, setting(0.03));
    expect(falls.reduce((sum, { byPa }) => sum + byPa, 0) / bar).toBeGreaterThan(4);
    expect(falls.reduce((sum, { byPa }) => sum + byPa, 0) / bar).toBeLessThan(5.2);
    for (const { atS } of falls) expect(slips.some((at) => Math.abs(at - atS) < 8)).toBe(true);
  });

  it.each([1, 2, 10])('none in a steep course of heat, at %s readings/s', (hz) =>
    expect(suddenFalls(blocksOf(heat, 0.03, hz), 300, setting(0.03))).toEqual([]),
  );

  it('hardly any of a leak that begins late and loses 5 bar: that is a fall all the same', () => {
    const falls = suddenFalls(
      blocksOf((s) => -0.05 * Math.max(0, s - 200), 0.03),
      300,
      setting(0.03),
    );
    expect(falls.reduce((sum, { byPa }) => sum + byPa, 0) / bar).toBeLessThan(0.6);
  });

  it('none in a single wild reading, nor in the steps of a display', () => {
    const wild = blocksOf((s) => heat(s) - (s === 100 ? 5 : 0), 0.03);
    expect(suddenFalls(wild, 300, setting(0.03))).toEqual([]);
    const coarse = blocksOf((s) => Math.round(-0.02 * s), 0);
    expect(suddenFalls(coarse, 300, { noisePa: 1e3, stepPa: bar })).toEqual([]);
  });

  it('taken out, the course goes on as if nothing had slipped', () => {
    const blocks = blocksOf(slipping, 0.01);
    const without = withoutFalls(blocks, suddenFalls(blocks, 300, setting(0.01)));
    expect((without.pressure.at(-1) ?? 0) / bar).toBeGreaterThan(heat(300) - 1);
    expect((without.pressure.at(-1) ?? 0) / bar).toBeLessThan(heat(300) + 0.5);
  });
});
