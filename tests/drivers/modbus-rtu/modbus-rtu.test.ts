import { createRequire } from 'node:module';
import { afterEach, describe, expect, it } from 'vitest';
import {
  askRegisters,
  createModbusRtu,
  type ModbusRtuSettings,
  registerViews,
  type WordOrder,
} from '../../../drivers/modbus-rtu/index.js';
import type { GaugeDriver } from '../../../src/gauge/index.js';
import { Collected } from '../collect.js';
import { Cable, inPieces } from '../pty.js';

const closing: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

async function layCable(): Promise<Cable> {
  const cable = await Cable.lay();
  closing.push(() => cable.unplug());
  return cable;
}

async function start(cable: Cable, settings: Partial<ModbusRtuSettings> = {}) {
  const driver: GaugeDriver = createModbusRtu({
    path: cable.path,
    address: 1,
    unit: 'bar',
    pressure: { register: 0 },
    ratePerS: 100,
    timeoutMs: 2000,
    ...settings,
  });
  closing.push(() => driver.close());
  const description = await driver.open();
  return { driver, description, seen: new Collected(driver) };
}

interface ModbusServer {
  on(event: 'initialized', listener: () => void): void;
  close(done: () => void): void;
}
const { ServerSerial } = createRequire(import.meta.url)('modbus-serial') as {
  ServerSerial: new (device: object, options: object) => ModbusServer;
};

/** An independent Modbus implementation answering on its own serial port, and a cable between the two ports. */
async function independentDevice(registers: (at: number) => number): Promise<Cable> {
  const [near, far] = [await layCable(), await layCable()];
  near.onBytes((bytes) => void far.send(bytes));
  far.onBytes((bytes) => void near.send(bytes));
  const device = { getHoldingRegister: registers, getInputRegister: registers };
  const server = new ServerSerial(device, { path: far.path, baudRate: 19_200, unitID: 1 });
  await new Promise<void>((resolve) => server.on('initialized', resolve));
  closing.push(() => new Promise<void>((resolve) => server.close(resolve)));
  return near;
}

const float = (value: number): [number, number] => {
  const bytes = Buffer.alloc(4);
  bytes.writeFloatBE(value);
  return [bytes.readUInt16BE(0), bytes.readUInt16BE(2)];
};

describe('against an independent Modbus implementation', () => {
  it.each([3, 4] as const)('function %i reads pressure, other port, oil and status in one request', async (code) => {
    const map = [...float(253.7), ...float(1.5), 2150, 0, 0x8000];
    const cable = await independentDevice((at) => map[at - 10] ?? 0);
    const { seen, description } = await start(cable, {
      function: code,
      pressure: { register: 10 },
      opposite: { register: 12 },
      oil: { register: 14, type: 'int16', scale: 0.01 },
      status: { register: 15, good: [0] },
    });
    await seen.until(() => seen.readings.length >= 3);
    expect(seen.readings[0]).toMatchObject({ pressurePa: 25_370_000, oppositePa: 150_000, oilK: 294.65, flags: 0 });
    expect(seen.faults).toEqual([]);
    expect(description.source).toBe(`${cable.path} at 19200 baud 8E1, address 1`);
    expect(seen.lines[0]?.text).toMatch(/^01 0[34] 0c 43 7d b3 33 /);
  });

  it('set-up sees all word orders at both offsets', async () => {
    const [high, low] = float(250);
    const cable = await independentDevice((at) => [7, low, high][at] ?? 0);
    const port = { path: cable.path, baudRate: 19_200, dataBits: 8, parity: 'none', stopBits: 1 } as const;
    const registers = await askRegisters(port, { address: 1, function: 3, start: 0, count: 3 });
    expect(registerViews(registers, 'float32').filter((view) => view.value === 250)).toEqual([
      { offset: 1, wordOrder: 'CDAB', value: 250 },
    ]);
    await expect(askRegisters(port, { address: 9, function: 3, start: 0, count: 1 }, 50)).rejects.toMatchObject({
      code: 'gauge',
      message: `address 9 on ${cable.path} does not answer`,
    });
  });
});

/** A device of our own that answers each request with these bytes. */
async function device(answer: (request: Buffer, count: number) => Buffer | null, piece = 1000): Promise<Cable> {
  const cable = await layCable();
  let count = 0;
  cable.onBytes((bytes) => {
    count += 1;
    const reply = answer(bytes, count);
    if (reply) void inPieces(reply, piece).reduce((sent, part) => sent.then(() => cable.send(part)), Promise.resolve());
  });
  return cable;
}

/** CRC by the definition, a bit at a time: independent of the driver's table. */
function framed(bytes: number[]): Buffer {
  let crc = 0xffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >> 1) ^ 0xa001 : crc >> 1;
  }
  return Buffer.from([...bytes, crc & 0xff, crc >> 8]);
}

const words = (...registers: number[]): Buffer =>
  framed([1, 3, registers.length * 2, ...registers.flatMap((word) => [word >> 8, word & 0xff])]);

describe('a device of our own', () => {
  it.each([1, 2, 7, 1000])('answers in pieces of %i bytes', async (size) => {
    const { seen } = await start(await device((_, count) => words(...float(100 + count)), size));
    await seen.until(() => seen.readings.length >= 3);
    expect(seen.pressuresPa.slice(0, 3)).toEqual([10_100_000, 10_200_000, 10_300_000]);
  });

  it('is heard through noise and the echo of the question', async () => {
    const noise = Buffer.from([0x01, 0x03, 0x04, 0xff, 0x01]);
    const { seen } = await start(await device((request) => Buffer.concat([noise, request, words(...float(7))])));
    await seen.until(() => seen.readings.length >= 3);
    expect(new Set(seen.pressuresPa)).toEqual(new Set([700_000]));
  });

  it.each([
    ['ABCD', [0x0001, 0x86a0]],
    ['CDAB', [0x86a0, 0x0001]],
    ['BADC', [0x0100, 0xa086]],
    ['DCBA', [0xa086, 0x0100]],
  ] as [WordOrder, number[]][])('sends int32 with a scale in the order %s', async (wordOrder, registers) => {
    const { seen } = await start(await device(() => words(...registers)), {
      pressure: { register: 0, type: 'int32', wordOrder, scale: 0.001 },
    });
    await seen.until(() => seen.readings.length >= 1);
    expect(seen.pressuresPa[0]).toBe(10_000_000);
  });

  it('has spoilt answers told as checksum faults, not read', async () => {
    const spoilt = Buffer.from(words(...float(9)));
    spoilt.writeUInt8(0x55, 4);
    const cable = await device((_, count) => (count === 3 || count === 4 ? spoilt : words(...float(8))));
    const { seen } = await start(cable, { timeoutMs: 300 });
    await seen.until(() => seen.readings.length >= 4);
    expect(new Set(seen.pressuresPa)).toEqual(new Set([800_000]));
    expect(seen.faults.map(({ code, effect }) => [code, effect])).toEqual([
      ['checksum', 'note'],
      ['checksum', 'note'],
    ]);
    expect(seen.faults[1]?.text).toBe('over after 2 readings: the CRC of the answer does not agree');
  });

  it('refuses with a reason in words', async () => {
    const { seen } = await start(await device(() => framed([1, 0x83, 2])));
    await seen.until(() => seen.faults.length >= 1);
    expect(seen.faults[0]).toMatchObject({
      code: 'exception',
      text: 'the gauge refuses with exception 2: it has no such register',
    });
    expect(seen.readings).toEqual([]);
  });

  it.each([
    ['NaN', words(0x7fc0, 0), 'no-value', 1],
    ['infinity', words(0x7f80, 0), 'over-range', 2],
    ['9.9E37', words(...float(9.9e37)), 'over-range', 2],
  ])('%s is no value', async (_, answer, code, flags) => {
    const { seen } = await start(await device(() => answer));
    await seen.until(() => seen.readings.length >= 2);
    expect(seen.readings[0]).toMatchObject({ pressurePa: null, flags });
    expect(seen.faults.map((fault) => fault.code)).toEqual([code]);
  });

  it('its status, unit and serial are watched', async () => {
    const answers = [
      [250, 0, 1, 77],
      [251, 4, 1, 77],
      [252, 0, 2, 77],
      [253, 0, 1, 78],
    ];
    const { seen } = await start(await device((_, count) => words(...(answers[Math.min(count, 4) - 1] ?? []))), {
      pressure: { register: 0, type: 'int16' },
      status: { register: 1, good: [0] },
      unitCode: { register: 2, is: 1 },
      serialNumber: { register: 3, type: 'uint16' },
    });
    await seen.until(() => seen.readings.length >= 4);
    expect(seen.pressuresPa.slice(0, 4)).toEqual([25_000_000, null, null, 25_300_000]);
    expect(seen.faults.map(({ code, text }) => [code, text])).toEqual([
      ['no-value', "the gauge's status is 4"],
      ['unit-changed', "the gauge's unit is set to 2, not 1"],
      ['other-device', 'the gauge says it is 78, not 77'],
    ]);
  });

  it('that falls silent is told once', async () => {
    const { seen } = await start(await device((_, count) => (count < 3 ? words(...float(5)) : null)), {
      timeoutMs: 400,
    });
    await seen.until(() => seen.faults.length >= 1);
    expect(seen.faults[0]?.text).toBe('the gauge did not answer within {seconds:0.4}');
    expect(seen.readings.length).toBe(2);
  });
});

describe('settings', () => {
  it.each([
    [{ address: 0 }, 'address'],
    [{ unit: 'psia' }, 'unit'],
    [{ oil: { register: 300 } }, 'pressure.register'],
    [{ firstRegister: 1 as const }, 'pressure.register'],
    [{ pressure: { register: 0, word_order: 'ACBD' } }, 'pressure.word_order'],
    [{ pressure: { register: 0, bits: 3 } }, 'pressure.bits'],
  ])('refuses %o', (settings, key) => {
    const make = () =>
      createModbusRtu({
        path: '/dev/ttyX',
        address: 1,
        unit: 'bar',
        pressure: { register: 0 },
        ...settings,
      } as ModbusRtuSettings);
    expect(make).toThrow(expect.objectContaining({ code: 'input', place: { key } }));
  });
});
