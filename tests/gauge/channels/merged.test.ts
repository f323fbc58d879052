import { describe, expect, it } from 'vitest';
import {
  type ChannelDuties,
  DwellmarkError,
  FreshValue,
  faultAt,
  type GaugeDriver,
  type GaugeItem,
  ItemQueue,
  mergedGauges,
  pressurePa,
  type Reading,
  temperatureK,
} from '../../../src/gauge/index.js';
import { Collected } from '../../drivers/collect.js';

const reading = (timeUs: number, pa: number | null, oilK: number | null = null): Reading => ({
  timeUs,
  pressurePa: pa === null ? null : pressurePa(pa),
  oppositePa: null,
  oilK: oilK === null ? null : temperatureK(oilK),
  flags: 0,
});

describe('a value of another gauge', () => {
  it('is fresh for one and a half of its own intervals, at least 0.15 s and at most 2 s', () => {
    const oil = new FreshValue();
    for (let second = 0; second <= 30; second += 1) oil.take(reading(second * 1e6, 0, 300));
    expect(oil.freshForUs / 1e6).toBeCloseTo(1.5, 2);
    expect(oil.at(30.9e6)?.oilK).toBe(300);
    expect(oil.at(31.6e6)).toBeNull();
    const quick = new FreshValue();
    for (let at = 0; at <= 3e6; at += 10_000) quick.take(reading(at, 1e5));
    expect(quick.freshForUs).toBe(150_000);
    const slow = new FreshValue();
    for (let at = 0; at <= 300e6; at += 10e6) slow.take(reading(at, 1e5));
    expect(slow.freshForUs).toBe(2_000_000);
  });

  it('a silence does not make it fresh for longer than two of its intervals were', () => {
    const oil = new FreshValue();
    for (let at = 0; at <= 3e6; at += 200_000) oil.take(reading(at, 0, 300));
    oil.take(reading(60e6, 0, 301));
    expect(oil.freshForUs).toBeLessThanOrEqual(600_000);
  });

  it('ends at once with a reading that has none', () => {
    const other = new FreshValue();
    other.take(reading(0, 5e5));
    other.take(reading(100_000, null));
    expect(other.at(100_001)?.pressurePa).toBeNull();
    other.take(null);
    expect(other.at(100_002)).toBeNull();
  });
});

/** A gauge whose items are put in by hand. */
class HandGauge implements GaugeDriver {
  readonly queue = new ItemQueue();
  closed = 0;
  readonly #refusal: Error | null;
  constructor(refusal: Error | null = null) {
    this.#refusal = refusal;
  }
  async open() {
    if (this.#refusal) throw this.#refusal;
    return { driver: 'by hand', source: 'a hand', unit: 'bar', channels: { opposite: false, oil: false } };
  }
  items(): AsyncIterable<GaugeItem> {
    return this.queue;
  }
  async close() {
    this.closed += 1;
    this.queue.end();
  }
  says(one: Reading): void {
    this.queue.push({ kind: 'reading', reading: one });
  }
}

const atA: ChannelDuties = { pressure: 'SN 1', opposite: 'SN 2', oil: 'OT 3' };
const atB: ChannelDuties = { pressure: 'SN 2', opposite: 'SN 1', oil: 'OT 3' };

async function three() {
  const [main, other, oil] = [new HandGauge(), new HandGauge(), new HandGauge()];
  const driver = mergedGauges(
    [
      { serial: 'SN 1', driver: main },
      { serial: 'SN 2', driver: other },
      { serial: 'OT 3', driver: oil },
    ],
    [atA, atB],
  );
  const description = await driver.open();
  const seen = new Collected(driver);
  const settle = () => new Promise<void>((resolve) => setTimeout(resolve, 5));
  return { main, other, oil, driver, description, seen, settle };
}

const channels = ({ pressurePa: p, oppositePa: o, oilK }: Reading) => [p, o, oilK];

describe('several gauges read as one', () => {
  it("the main gauge's readings carry what the others said last, and nothing stale", async () => {
    const { main, other, oil, seen, settle, description } = await three();
    expect(description.channels).toEqual({ opposite: true, oil: true });
    expect(description.others?.map(({ gauge }) => gauge)).toEqual(['SN 2', 'OT 3']);
    main.says(reading(1000, 1e5));
    await settle();
    other.says(reading(50_000, 7e5));
    oil.says(reading(60_000, null, 300));
    await settle();
    main.says(reading(100_000, 2e5));
    main.says(reading(190_000, 3e5));
    main.says(reading(400_000, 4e5));
    await settle();
    other.says(reading(410_000, null));
    await settle();
    main.says(reading(420_000, 5e5));
    await settle();
    expect(seen.readings.map(channels)).toEqual([
      [1e5, null, null],
      [2e5, 7e5, 300],
      [3e5, 7e5, 300],
      [4e5, null, null],
      [5e5, null, null],
    ]);
  });

  it('when the other port is tested the gauges change places', async () => {
    const { main, other, driver, seen, settle } = await three();
    main.says(reading(100_000, 1e5));
    other.says(reading(110_000, 2e5));
    await settle();
    driver.turnTo(1);
    main.says(reading(200_000, 3e5));
    await settle();
    other.says(reading(210_000, 4e5));
    await settle();
    // A port that is no more: the last one's gauges stay.
    driver.turnTo(2);
    other.says(reading(310_000, 5e5));
    await settle();
    expect(seen.readings.map(channels)).toEqual([
      [1e5, null, null],
      [4e5, 3e5, null],
      [5e5, 3e5, null],
    ]);
  });

  it('faults and raw lines name their gauge; what befalls another than the main one is a warning, and ends its value', async () => {
    const { main, other, oil, seen, settle } = await three();
    other.says(reading(90_000, 7e5));
    oil.says(reading(95_000, null, 300));
    await settle();
    other.queue.push({ kind: 'line', timeUs: 90_000, text: '+7.0 bar', accepted: true });
    other.queue.push({ kind: 'fault', fault: faultAt(96_000, 'unplugged', 'the device is gone') });
    await settle();
    main.says(reading(100_000, 1e5));
    main.queue.push({ kind: 'fault', fault: faultAt(110_000, 'unplugged', 'the device is gone') });
    await settle();
    expect(seen.readings.map(channels)).toEqual([[1e5, null, 300]]);
    const told = seen.items.flatMap((item) => (item.kind === 'fault' ? [item.fault] : []));
    expect(told.map(({ gauge, effect, text }) => [gauge, effect, text])).toEqual([
      ['SN 2', 'warn', 'gauge SN 2: the device is gone'],
      ['SN 1', 'void', 'gauge SN 1: the device is gone'],
    ]);
    expect(seen.items.find((item) => item.kind === 'line')).toMatchObject({ gauge: 'SN 2', text: '+7.0 bar' });
  });

  it('another instrument in the place of one is not listened to any more', async () => {
    const { main, other, seen, settle } = await three();
    other.queue.push({ kind: 'fault', fault: faultAt(90_000, 'other-device', 'it says it is SN 9') });
    other.says(reading(95_000, 7e5));
    await settle();
    main.says(reading(100_000, 1e5));
    await settle();
    expect(seen.readings.map(channels)).toEqual([[1e5, null, null]]);
  });

  it('a value found frozen is none until it moves', async () => {
    const { main, other, seen, settle } = await three();
    const say = async (at: number, pa: number) => {
      other.says(reading(at, pa));
      await settle();
      main.says(reading(at + 1000, 1e5));
      await settle();
    };
    await say(100_000, 7e5);
    other.queue.push({ kind: 'fault', fault: faultAt(110_000, 'frozen', 'it stands still') });
    await say(200_000, 7e5);
    await say(300_000, 7.1e5);
    expect(seen.readings.map(({ oppositePa }) => oppositePa)).toEqual([7e5, null, 7.1e5]);
  });

  it('the end of the main gauge ends it; the end of another is told and the test goes on', async () => {
    const { main, oil, seen, settle } = await three();
    await oil.close();
    await settle();
    expect(seen.faults).toMatchObject([
      { code: 'exception', effect: 'warn', text: 'gauge OT 3: gives no more readings' },
    ]);
    main.says(reading(100_000, 1e5));
    await settle();
    expect(seen.readings).toHaveLength(1);
    await main.close();
    await seen.done;
  });

  it('one that does not open closes those that did', async () => {
    const [first, second] = [new HandGauge(), new HandGauge(new DwellmarkError('gauge', 'no such port'))];
    const driver = mergedGauges(
      [
        { serial: 'SN 1', driver: first },
        { serial: 'SN 2', driver: second },
      ],
      [{ pressure: 'SN 1', opposite: 'SN 2', oil: null }],
    );
    await expect(driver.open()).rejects.toThrow('no such port');
    expect(first.closed).toBe(1);
  });

  it('time of a gauge opened later is moved on to the clock of the first', async () => {
    const [first, second] = [new HandGauge(), new HandGauge()];
    const opening = first.open.bind(first);
    first.open = async () => {
      await new Promise((resolve) => setTimeout(resolve, 40));
      return opening();
    };
    const driver = mergedGauges(
      [
        { serial: 'SN 1', driver: first },
        { serial: 'SN 2', driver: second },
      ],
      [{ pressure: 'SN 1', opposite: 'SN 2', oil: null }],
    );
    await driver.open();
    const seen = new Collected(driver);
    second.queue.push({ kind: 'line', timeUs: 0, text: 'first', accepted: true });
    await seen.until(() => seen.items.length === 1);
    const [line] = seen.items;
    expect(line?.kind === 'line' ? line.timeUs : 0).toBeGreaterThanOrEqual(39_000);
    await driver.close();
  });
});
