import { afterEach, describe, expect, it } from 'vitest';
import { createAsciiPoll } from '../../../drivers/ascii-poll/index.js';
import { createAsciiStream } from '../../../drivers/ascii-stream/index.js';
import { withCrc } from '../../../drivers/modbus-rtu/frame.js';
import { createModbusRtu } from '../../../drivers/modbus-rtu/index.js';
import type { GaugeDriver } from '../../../src/gauge/index.js';
import { Collected } from '../collect.js';
import { Cable, sleep } from '../pty.js';

const closing: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

/** Hands bytes over in pieces of four, no faster than ten bits a byte at the baud rate: a pty has no pace of its own. */
async function pace(cable: Cable, bytes: Buffer, baudRate: number): Promise<void> {
  const startMs = performance.now();
  for (let at = 0; at < bytes.length; at += 4) {
    const dueMs = startMs + ((at + 4) * 10_000) / baudRate;
    if (dueMs - performance.now() > 1) await sleep(dueMs - performance.now());
    await cable.send(bytes.subarray(at, at + 4));
  }
}

async function start(make: (path: string) => GaugeDriver, answer?: (cable: Cable) => void) {
  const cable = await Cable.lay();
  closing.push(() => cable.unplug());
  answer?.(cable);
  const driver = make(cable.path);
  closing.push(() => driver.close());
  await driver.open();
  return { cable, seen: new Collected(driver) };
}

const values = Array.from({ length: 40 }, (_, index) => 250 - index / 8);
const pascals = values.map((value) => value * 1e5);

describe.each([9600, 19_200, 38_400, 57_600, 115_200])('at %i baud', { timeout: 60_000 }, (baudRate) => {
  it('ascii-stream reads every line, each later than the one before', async () => {
    const { cable, seen } = await start((path) =>
      createAsciiStream({ path, baudRate, pattern: '{pressure} {unit}', unit: 'bar' }),
    );
    const lines = values.map((value) => `${value.toFixed(3)} bar\r\n`);
    await pace(cable, Buffer.from(`\r\n${lines.join('')}`), baudRate);
    await seen.until(() => seen.readings.length === values.length, 20_000);
    expect(seen.pressuresPa).toEqual(pascals);
    expect(seen.faults).toEqual([]);
    const times = seen.readings.map(({ timeUs }) => timeUs);
    expect(times.every((time, index) => index === 0 || time > (times[index - 1] ?? 0))).toBe(true);
  });

  it('ascii-poll reads every answer', async () => {
    let asked = 0;
    const { seen } = await start(
      (path) =>
        createAsciiPoll({
          path,
          baudRate,
          request: '#01\r',
          pattern: '>{pressure}',
          unit: 'bar',
          terminator: '\r',
          ratePerS: 20,
          timeoutMs: 2000,
        }),
      (cable) =>
        cable.onBytes(() => {
          // The first answer after opening is dropped.
          const value = values[Math.max(0, asked - 1)] ?? 0;
          asked += 1;
          void pace(cable, Buffer.from(`>${value.toFixed(3)}\r`), baudRate);
        }),
    );
    await seen.until(() => seen.readings.length >= values.length, 20_000);
    expect(seen.pressuresPa.slice(0, values.length)).toEqual(pascals);
    expect(seen.faults).toEqual([]);
  });

  it('modbus-rtu reads every answer', async () => {
    let asked = 0;
    const { seen } = await start(
      (path) =>
        createModbusRtu({
          path,
          baudRate,
          address: 1,
          unit: 'bar',
          pressure: { register: 0 },
          ratePerS: 20,
          timeoutMs: 2000,
        }),
      (cable) =>
        cable.onBytes(() => {
          const frame = Buffer.from([1, 3, 4, 0, 0, 0, 0]);
          frame.writeFloatBE(values[asked] ?? 0, 3);
          asked += 1;
          void pace(cable, withCrc(frame), baudRate);
        }),
    );
    await seen.until(() => seen.readings.length >= values.length, 20_000);
    expect(seen.pressuresPa.slice(0, values.length)).toEqual(pascals);
    expect(seen.faults).toEqual([]);
  });
});
