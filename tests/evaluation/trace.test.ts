import { describe, expect, it } from 'vitest';
import { correlatedNoise } from '../../src/evaluation/statistics/correlated-noise.js';
import { median, theilSen } from '../../src/evaluation/statistics/lines.js';
import { BlockMeans } from '../../src/evaluation/trace/block-means.js';
import { DwellTrace } from '../../src/evaluation/trace/dwell-trace.js';
import { chance, correlatedNoiseSource } from './trace-generator.js';

describe('block means', () => {
  it.each([3, 1023, 1024, 1025, 5000, 100_003])('of %d readings keep every reading in a mean', (n) => {
    const source = chance(n);
    const blocks = new BlockMeans();
    let [times, pressures] = [0, 0];
    for (let i = 0; i < n; i++) {
      const t = i * 0.1 + 0.02 * source.uniform();
      const p = Math.round(242e5 - 30 * t + 5e3 * source.normal());
      blocks.add(t, p, Number.NaN);
      times += t;
      pressures += p;
    }
    const { count, timeS, pressure, referencePa, length } = blocks.snapshot();
    const sum = (values: Float64Array): number => values.reduce((all, value, i) => all + value * (count[i] ?? 0), 0);
    expect(count.reduce((all, one) => all + one, 0)).toBe(n);
    expect(length).toBeLessThanOrEqual(1024);
    expect(sum(timeS) / times).toBeCloseTo(1, 12);
    expect((sum(pressure) + n * referencePa) / pressures).toBeCloseTo(1, 12);
  });

  it('up to 1023 readings nothing is averaged', () => {
    const blocks = new BlockMeans();
    for (let i = 0; i < 1000; i++) blocks.add(i, 1e5 + i * i, 300 + i / 1000);
    const { length, pressure, oil, referencePa, referenceK } = blocks.snapshot();
    expect(length).toBe(1000);
    expect((pressure[700] ?? 0) + referencePa).toBe(1e5 + 700 * 700);
    expect((oil[700] ?? 0) + referenceK).toBeCloseTo(300.7, 10);
  });
});

describe('spikes', () => {
  const watched = (spoil: (pressure: number[]) => void) => {
    const source = chance(5);
    const pressure = Array.from({ length: 400 }, (_, i) => Math.round(242e5 - 100 * i + 3e3 * source.normal()));
    spoil(pressure);
    const trace = new DwellTrace(1e3);
    pressure.forEach((p, i) => {
      trace.add(i * 1e5, p, null, 0);
    });
    trace.close();
    return trace.state();
  };

  it('a quiet trace has none and uses every reading', () => {
    const state = watched(() => undefined);
    expect([state.spikes, state.used]).toEqual([0, 400]);
  });

  it.each([
    ['one reading', [200]],
    ['two in a row', [200, 201]],
    ['two apart', [100, 300]],
    ['one of the first, before the noise is known', [5]],
  ])('%s far off are left out, counted and their size kept', (_, places) => {
    const state = watched((pressure) => {
      for (const place of places) pressure[place] = (pressure[place] ?? 0) - 8e4;
    });
    expect(state.spikes).toBe(places.length);
    expect(state.used).toBe(400 - places.length);
    expect(state.greatestSpikePa).toBeGreaterThan(7e4);
    expect(state.greatestSpikePa).toBeLessThan(9.2e4);
  });

  it('a step stays in, also one of three readings that comes back', () => {
    const step = watched((pressure) => {
      for (let i = 200; i < 400; i++) pressure[i] = (pressure[i] ?? 0) - 8e4;
    });
    expect([step.spikes, step.used]).toEqual([0, 400]);
    const three = watched((pressure) => {
      for (const place of [200, 201, 202]) pressure[place] = (pressure[place] ?? 0) - 8e4;
    });
    expect([three.spikes, three.used]).toEqual([0, 400]);
  });

  it('departures below 8 standard deviations stay in', () => {
    const state = watched((pressure) => {
      pressure[200] = (pressure[199] ?? 0) - 1.5e4;
    });
    expect(state.spikes).toBe(0);
  });
});

describe('the robust line', () => {
  it('is not moved by a third of wild points', () => {
    const x = Array.from({ length: 90 }, (_, i) => i);
    const y = x.map((at) => (at % 3 === 0 ? 1e6 : 5 - 2 * at));
    expect(theilSen(x, y).slope).toBeGreaterThan(-2.5);
    expect(theilSen(x, y).slope).toBeLessThan(0);
    const few = x.map((at) => (at % 10 === 0 ? 1e6 : 5 - 2 * at));
    expect(theilSen(x, few).slope).toBe(-2);
  });

  it('tells that coarse steps tie most of its pairs, where least squares still sees the fall', () => {
    const x = Array.from({ length: 100 }, (_, i) => i);
    const y = x.map((at) => (at < 70 ? 1 : 0));
    const robust = theilSen(x, y);
    expect(robust.slope).toBe(0);
    expect(robust.tied).toBeGreaterThan(0.5);
  });

  it('takes all pairs with different x, and no pair of equal x', () => {
    expect(theilSen([0, 0, 1, 1], [0, 10, 1, 11]).slope).toBe(1);
    expect(Number.isNaN(theilSen([2, 2], [0, 1]).slope)).toBe(true);
  });

  it.each([
    [[3, 1, 2], 2],
    [[4, 1, 3, 2], 2.5],
    [[7], 7],
    [[2, 2, 2, 2, 1], 2],
  ])('median of %j is %f', (values, expected) => {
    expect(median(Float64Array.from(values))).toBe(expected);
  });
});

describe('correlated noise', () => {
  it.each([
    [0, 1],
    [0.5, 3],
    [0.9, 19],
  ])(
    'lag-one correlation %f makes a slope as uncertain as %f times the variance (Bayley and Hammersley 1946)',
    (correlation, factor) => {
      const next = correlatedNoiseSource(chance(11), correlation, 2);
      const noise = correlatedNoise(Array.from({ length: 20_000 }, next), 2);
      expect(noise.slopeFactor / factor).toBeGreaterThan(0.88);
      expect(noise.slopeFactor / factor).toBeLessThan(1.14);
      expect(noise.variance).toBeGreaterThan(3.5);
      expect(noise.variance).toBeLessThan(4.5);
    },
  );

  it('never calls alternating readings better than independent ones', () => {
    expect(
      correlatedNoise(
        Array.from({ length: 500 }, (_, i) => (i % 2) - 0.5),
        2,
      ).slopeFactor,
    ).toBe(1);
  });
});
