import { describe, expect, it } from 'vitest';
import {
  findModbusDevice,
  driver as modbusRtu,
  plausibleChoice,
  registerChoices,
  tcpDriver,
  type ValueType,
  type WordOrder,
} from '../../../drivers/modbus-rtu/index.js';
import { Collected } from '../collect.js';
import { type ModbusMap, modbusDeviceOnCable, modbusDeviceOnNetwork } from '../modbus-server.js';
import { type ModbusExhibit, modbusExhibits } from './modbus-maps.js';

const writers = {
  float32: 'writeFloatBE',
  int32: 'writeInt32BE',
  uint32: 'writeUInt32BE',
  int16: 'writeInt16BE',
  uint16: 'writeUInt16BE',
} as const;

/** Words of a number as the instrument lays it out, by the letters of its order: A is the highest byte. */
function wordsOf(value: number, type: ValueType, order: WordOrder): number[] {
  const short = type.endsWith('16');
  const bytes = Buffer.alloc(short ? 2 : 4);
  bytes[writers[type]](value);
  const letters = short ? (order === 'BADC' ? 'BA' : 'AB') : order;
  const laid = Buffer.from([...letters].map((letter) => bytes['ABCD'.indexOf(letter)] ?? 0));
  return Array.from({ length: laid.length / 2 }, (_, index) => laid.readUInt16BE(2 * index));
}

/** An instrument whose pressure moves a little every 20 ms; `sent` holds every pressure that it has shown, Pa. */
async function instrument(exhibit: ModbusExhibit) {
  const { type = 'float32', order = 'ABCD', scale = 1, factor = 1e5, about = 253, around = [0, 0] } = exhibit;
  const wire = exhibit.register - (exhibit.countsFrom ?? 0);
  const sent = new Set<number>();
  let map: ModbusMap = new Map();
  let count = 0;
  const show = (): void => {
    const raw =
      type === 'float32'
        ? Math.fround(about + (about === 0 ? 0 : (count % 37) / 100))
        : Math.round(about / scale) + (count % 37);
    count += 1;
    sent.add(Math.round(raw * scale * factor));
    const words = wordsOf(raw, type, order);
    const laid: [number, number][] = [
      [wire - 1, around[0]],
      ...words.map((word, at): [number, number] => [wire + at, word]),
      [wire + words.length, around[1]],
    ];
    for (let at = wire + words.length + 1; at < wire + 96; at += 1) laid.push([at, 0]);
    if (exhibit.oilRegister !== undefined) laid.push([exhibit.oilRegister, 231]);
    map = new Map(laid);
  };
  show();
  const timer = setInterval(show, 20);
  const functions = exhibit.functions ?? [3, 4];
  const { path, close } =
    exhibit.over === 'tcp'
      ? await modbusDeviceOnNetwork(() => map, functions)
      : await modbusDeviceOnCable(() => map, functions).then(({ cable, close: end }) => ({
          path: cable.path,
          close: end,
        }));
  return {
    path,
    sent,
    close: async () => {
      clearInterval(timer);
      await close();
    },
  };
}

let surelyRight = 0;

/** Finds it as `gauge add` does, then reads ten readings by what was proposed, each of which must have been shown. */
async function visit(exhibit: ModbusExhibit): Promise<void> {
  const { type = 'float32', order = 'ABCD', scale = 1, unit = 'bar', range = [0, 400] } = exhibit;
  const { path, sent, close } = await instrument(exhibit);
  const tcp = exhibit.over === 'tcp';
  try {
    const wanted = { address: 7, register: exhibit.register, type };
    const device = await findModbusDevice(path, wanted, { timeoutMs: 1500, tcp });
    const choices = await registerChoices(device, wanted, 1500);
    const proposed = plausibleChoice(choices, { low: range[0], high: range[1] }, scale);
    const right = choices.findIndex(
      (one) => one.wordOrder === order && one.firstRegister === (exhibit.countsFrom ?? 0),
    );
    expect(right).toBeGreaterThanOrEqual(0);
    if (exhibit.asks) {
      expect(proposed?.sure ?? false).toBe(false);
      expect(proposed?.could ?? []).toContain(right);
    } else expect(proposed?.at, JSON.stringify(choices)).toBe(right);
    if (proposed?.sure) surelyRight += 1;
    const { oilRegister, statusRegister } = exhibit;
    const picked = choices[right];
    const driver = (tcp ? tcpDriver : modbusRtu).create({
      path,
      address: 7,
      function: device.function,
      first_register: picked?.firstRegister,
      unit,
      pressure: { register: picked?.register, type, word_order: picked?.wordOrder, scale },
      ...(oilRegister === undefined ? {} : { oil: { register: oilRegister, type: 'int16', scale: 0.1 } }),
      ...(statusRegister === undefined ? {} : { status: { register: statusRegister, good: [0] } }),
      rate_per_s: 50,
      timeout_ms: 3000,
    });
    await driver.open();
    try {
      const seen = new Collected(driver);
      await seen.until(() => seen.readings.length >= 10, 20_000);
      expect(seen.pressuresPa.filter((pressure) => pressure === null || !sent.has(pressure))).toEqual([]);
      expect(new Set(seen.pressuresPa).size).toBeGreaterThan(exhibit.about === 0 ? 0 : 2);
      for (const { oilK } of seen.readings)
        if (oilRegister === undefined) expect(oilK).toBeNull();
        else expect(oilK).toBeCloseTo(296.25, 3);
      expect(seen.faults).toEqual([]);
    } finally {
      await driver.close();
    }
  } finally {
    await close();
  }
}

describe('the Modbus maps of the museum', { timeout: 60_000 }, () => {
  it.concurrent.each(modbusExhibits)('$name', async (exhibit) => {
    await visit(exhibit);
  });

  it('are 30 and more, nine of ten right at the first proposal', () => {
    expect(modbusExhibits.length).toBeGreaterThanOrEqual(30);
    // Nothing to be asked at all, so that `--yes` may take it.
    process.stderr.write(`Modbus maps that need no question: ${surelyRight} of ${modbusExhibits.length}\n`);
    expect(modbusExhibits.filter(({ asks }) => !asks).length / modbusExhibits.length).toBeGreaterThanOrEqual(0.9);
  });
});
