import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import {
  createSimulatedGauge,
  cylinderOnBench,
  laminarLeak,
  type SimulatedBench,
  scenarioNamed,
} from '../../../drivers/simulated/index.js';
import { readingFlags } from '../../../src/gauge/index.js';
import { pumpAndHold, quietInstrument, run } from './run.js';

const cylinder = { boreM: 0.1, rodM: 0.056, strokeM: 0.5, lineM3: 0.3e-3 };
const held = (changes: Parameters<typeof cylinderOnBench>[3] = {}): SimulatedBench =>
  cylinderOnBench('A', cylinder, pumpAndHold(100e5, 20), changes);

const digest = (value: unknown): string => createHash('sha256').update(JSON.stringify(value)).digest('hex');

describe('the simulated gauge behind the driver contract', () => {
  it('gives the same bytes for the same seed and others for another seed', async () => {
    const of = async (seed: number): Promise<string> =>
      digest((await run({ ...scenarioNamed('shut-valve'), seed, jitter: 0.05 })).readings);
    const [one, again, other] = [await of(7), await of(7), await of(8)];
    expect(again).toBe(one);
    expect(other).not.toBe(one);
  });

  it('carries whole microseconds that grow, whole pascals and millikelvins', async () => {
    const { readings } = await run({ ...scenarioNamed('air'), jitter: 0.2 });
    const wrong = readings.filter(
      ({ timeUs, pressurePa, oilK }, index) =>
        !Number.isInteger(timeUs) ||
        timeUs <= (readings[index - 1]?.timeUs ?? 0) ||
        !Number.isInteger(pressurePa) ||
        Number(oilK?.toFixed(3)) !== oilK,
    );
    expect(wrong).toEqual([]);
    expect(readings.length).toBeGreaterThan(5000);
  });

  it('describes itself', async () => {
    const gauge = createSimulatedGauge({ ...scenarioNamed('tight'), seed: 3, speed: 'as fast as possible' });
    expect(await gauge.open()).toEqual({
      driver: 'simulated',
      source: 'simulated bench, seed 3',
      serial: 'HF-40117',
      rangeHighPa: 400e5,
      resolutionPa: 10_000,
      unit: 'bar',
      ratePerS: 10,
      channels: { opposite: false, oil: true },
    });
  });

  it('ends a running iteration when it is closed, and may be closed twice', async () => {
    const gauge = createSimulatedGauge({ ...scenarioNamed('tight'), seed: 3, speed: 1 });
    await gauge.open();
    let seen = 0;
    setTimeout(() => void gauge.close(), 250);
    for await (const item of gauge.items()) if (item.kind === 'reading') seen++;
    await gauge.close();
    expect(seen).toBeGreaterThan(0);
    expect(seen).toBeLessThan(5);
  });

  it('keeps the wall clock at a speed of so many simulated seconds a second', async () => {
    const gauge = createSimulatedGauge({
      ports: { A: held() },
      instrument: quietInstrument,
      seed: 1,
      ratePerS: 10,
      speed: 20,
    });
    await gauge.open();
    const startMs = performance.now();
    let seconds = 0;
    for await (const item of gauge.items()) {
      if (item.kind === 'reading') seconds = item.reading.timeUs / 1e6;
      if (seconds >= 10) await gauge.close();
    }
    expect(seconds).toBeCloseTo(10, 1);
    expect(performance.now() - startMs).toBeGreaterThan(480);
  });

  it('an over-range pressure is a flag and no number', async () => {
    const narrow = { pressure: { ...quietInstrument.pressure, rangeHighPa: 80e5 } };
    const { readings } = await run({ ports: { A: held() }, instrument: narrow });
    const over = readings.filter(({ flags }) => flags === readingFlags.overRange);
    expect(over.length).toBeGreaterThan(150);
    expect(over.every(({ pressurePa }) => pressurePa === null)).toBe(true);
    expect(Math.max(...readings.map(({ pressurePa }) => pressurePa ?? 0))).toBeLessThanOrEqual(80e5);
  });

  it('shows the other port when it carries a gauge', async () => {
    const bench = held({
      opposite: { kind: 'gauge', deadVolumeM3: 20e-6 },
      leaks: { pistonSeal: laminarLeak(1e-6, 100e5) },
    });
    const { readings, gauge } = await run({ ports: { A: bench } });
    const end = gauge.truth().during('A', 'hold').at(-1);
    const reading = readings.find(({ timeUs }) => timeUs === end?.timeUs);
    expect(reading?.oppositePa ?? 0).toBeGreaterThan(95e5);
    expect(Math.abs((reading?.oppositePa ?? 0) - (end?.oppositePa ?? 0))).toBeLessThan(100);
  });

  it('simulates a two-port test of ten minutes at 10 Hz in less than a second of processor time', async () => {
    const script = pumpAndHold(240e5, 250);
    const ports = { A: cylinderOnBench('A', cylinder, script), B: cylinderOnBench('B', cylinder, script) };
    await run({ ports });
    const before = process.cpuUsage();
    const { readings } = await run({ ports });
    const { user, system } = process.cpuUsage(before);
    expect((readings.at(-1)?.timeUs ?? 0) / 1e6).toBeGreaterThan(600);
    expect((user + system) / 1e6).toBeLessThan(1);
  });
});

describe('the cases that a bench meets', () => {
  it('a shut valve needs the oil of the line only', async () => {
    const oil = async (bench: SimulatedBench): Promise<number> =>
      (await run({ ports: { A: bench } })).gauge.truth().during('A', 'hold')[0]?.pumpedM3 ?? 0;
    const whole = await oil(held());
    for (const connected of ['valve shut', 'no cylinder'] as const) {
      const line = await oil(held({ connected }));
      expect(line).toBeLessThan(0.15 * whole);
    }
  });

  it('a shut valve hides a leaking cylinder', async () => {
    const leaks = { external: laminarLeak(5e-6 / 60, 100e5) };
    const { gauge } = await run({
      ports: { A: held({ connected: 'valve shut', leaks, heat: { compressionHeat: false } }) },
    });
    const hold = gauge.truth().during('A', 'hold');
    expect(Math.abs((hold[0]?.pressurePa ?? 0) - (hold.at(-1)?.pressurePa ?? 1e9))).toBeLessThan(100);
  });

  it('oil behind a check valve stays when the gauge has gone to zero, and creeps back to it', async () => {
    const bench = held({ cylinderCheck: { leakBack: laminarLeak(1e-9, 100e5) } });
    const { gauge } = await run({ ports: { A: bench } });
    const end = gauge.truth().samples.at(-1);
    expect(end?.pressurePa ?? 1e9).toBeLessThan(1e5);
    expect(end?.heldPa ?? 0).toBeGreaterThan(90e5);
  });

  it('free air bows the rise: the same oil raises less at a fifth of the pressure than at four fifths', async () => {
    const perMl = async (airFraction: number): Promise<readonly [number, number]> => {
      const { gauge } = await run({ ports: { A: held({ oil: { airFraction }, heat: { compressionHeat: false } }) } });
      const ramp = gauge.truth().during('A', 'pump');
      const at = (pa: number): number => {
        const index = ramp.findIndex(({ pressurePa }) => pressurePa >= pa);
        const [a, b] = [ramp[index - 1], ramp[index]];
        return a && b ? (b.pressurePa - a.pressurePa) / (b.pumpedM3 - a.pumpedM3) : 0;
      };
      return [at(20e5), at(80e5)];
    };
    const [lowClear, highClear] = await perMl(0);
    const [lowAir, highAir] = await perMl(0.01);
    expect(lowClear / highClear).toBeCloseTo(1, 2);
    // (V/K)(1 + air K p0 / p^2), isothermal, with the line and the hose beside.
    const give = (pa: number): number =>
      (3.92699e-3 + 0.3e-3) / 1.5e9 + 1e-13 + (3.92699e-5 * 101_325) / (pa + 101_325) ** 2;
    expect(lowAir / highAir).toBeCloseTo(give(80e5) / give(20e5), 2);
    expect(lowAir / highAir).toBeLessThan(0.8);
  });

  it('the relief valve holds the pressure down', async () => {
    const bench = held();
    const low = { ...bench, supply: { ...bench.supply, relief: { crackPa: 60e5, m3PerSPerPa: 1e-10 } } };
    const gauge = createSimulatedGauge({
      ports: { A: low },
      instrument: quietInstrument,
      seed: 1,
      ratePerS: 10,
      speed: 'as fast as possible',
    });
    await gauge.open();
    let highest = 0;
    for await (const item of gauge.items()) {
      if (item.kind === 'reading') highest = Math.max(highest, item.reading.pressurePa ?? 0);
      if (item.kind === 'reading' && item.reading.timeUs > 60e6) await gauge.close();
    }
    expect(highest).toBeGreaterThan(60e5);
    expect(highest).toBeLessThan(61e5);
  });
});
