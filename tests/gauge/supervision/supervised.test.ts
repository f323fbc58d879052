import { describe, expect, it } from 'vitest';
import {
  type GaugeDriver,
  type GaugeItem,
  ItemQueue,
  pressurePa,
  supervised,
  supervisionLimits,
} from '../../../src/gauge/index.js';
import { Collected } from '../../drivers/collect.js';
import { sleep } from '../../drivers/pty.js';

const limits = supervisionLimits({
  rangeLowPa: 0,
  rangeHighPa: 4e7,
  resolutionPa: 1e4,
  ratePerS: 100,
  silentAfterS: 0.2,
});

function hand(): { driver: GaugeDriver; queue: ItemQueue } {
  const queue = new ItemQueue();
  const driver: GaugeDriver = {
    open: async () => ({ driver: 'hand', source: 'hand', unit: 'bar', channels: { opposite: false, oil: false } }),
    items: () => queue,
    close: async () => queue.end(),
  };
  return { driver, queue };
}

const reading = (timeUs: number, pascals: number): GaugeItem => ({
  kind: 'reading',
  reading: { timeUs, pressurePa: pressurePa(pascals), oppositePa: null, oilK: null, flags: 0 },
});

describe('a driver with supervision on', () => {
  it('hands on every item and puts a fault right behind the item it is found in', async () => {
    const { driver, queue } = hand();
    const watched = supervised(driver, limits, { live: false });
    await watched.open();
    const seen = new Collected(watched);
    for (const item of [reading(0, 1e7), reading(10_000, 4e7), reading(20_000, 1e7)]) queue.push(item);
    queue.end();
    await seen.done;
    expect(seen.items.map((item) => (item.kind === 'fault' ? item.fault.code : item.kind))).toEqual([
      'reading',
      'reading',
      'over-range',
      'jump',
      'reading',
    ]);
  });

  it('tells silence while it lasts, on the clock of the readings', async () => {
    const { driver, queue } = hand();
    const watched = supervised(driver, limits);
    await watched.open();
    const seen = new Collected(watched);
    queue.push(reading(7_000_000, 1e7));
    await seen.until(() => seen.faults.length === 1);
    expect(seen.faults[0]?.code).toBe('silent');
    expect(seen.faults[0]?.timeUs).toBeGreaterThan(7_200_000);
    expect(seen.faults[0]?.timeUs).toBeLessThan(7_600_000);
    await watched.close();
    await seen.done;
  });

  it('lets go at once of one who stops iterating while nothing comes', async () => {
    const { driver, queue } = hand();
    const watched = supervised(driver, limits);
    await watched.open();
    queue.push(reading(0, 1e7));
    const left = (async () => {
      for await (const item of watched.items()) if (item.kind === 'reading') break;
      return 'left';
    })();
    expect(await Promise.race([left, sleep(1000).then(() => 'held')])).toBe('left');
    await watched.close();
  });

  it('lets time go on while the computer sleeps: the silence is told, and later readings stand later', async () => {
    const { driver, queue } = hand();
    let asleepMs = 5000;
    const watched = supervised(driver, { ...limits, silentAfterS: 60 }, { live: true, asleepMs: () => asleepMs });
    await watched.open();
    const seen = new Collected(watched);
    queue.push(reading(0, 1e7));
    await seen.until(() => seen.readings.length === 1);
    asleepMs += 600_000;
    await seen.until(() => seen.faults.length > 0);
    expect(seen.faults).toMatchObject([
      { code: 'silent', text: expect.stringMatching(/^no reading for \{seconds:600\./) },
    ]);
    queue.push(reading(300_000, 1e7));
    await seen.until(() => seen.readings.length === 2);
    expect(seen.readings.map(({ timeUs }) => timeUs)).toEqual([0, 600_300_000]);
    await watched.close();
  });
});
