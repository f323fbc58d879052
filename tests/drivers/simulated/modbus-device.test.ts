import { createRequire } from 'node:module';
import { afterEach, describe, expect, it } from 'vitest';
import { createModbusRtu } from '../../../drivers/modbus-rtu/index.js';
import { ModbusDevice, modbusMap } from '../../../drivers/simulated/index.js';
import { pressurePa, temperatureK } from '../../../src/gauge/index.js';
import { Collected } from '../collect.js';
import { Cable } from '../pty.js';

const closing: (() => unknown)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

/** The program's own device at the far end of a cable. */
async function ownDevice(): Promise<{ readonly device: ModbusDevice; readonly cable: Cable }> {
  const cable = await Cable.lay();
  closing.push(() => cable.unplug());
  const wire = {
    write: (bytes: Uint8Array) => cable.send(bytes),
    onBytes: (on: (b: Buffer) => void) => cable.onBytes(on),
  };
  const device = new ModbusDevice(wire, { address: 1, unit: 'bar' });
  device.show({ pressurePa: pressurePa(25_370_000), oilK: temperatureK(294.65) });
  return { device, cable };
}

interface ModbusClient {
  connectRTUBuffered(path: string, options: object): Promise<void>;
  setID(id: number): void;
  setTimeout(ms: number): void;
  readHoldingRegisters(at: number, count: number): Promise<{ data: number[]; buffer: Buffer }>;
  readInputRegisters(at: number, count: number): Promise<{ data: number[]; buffer: Buffer }>;
  writeRegister(at: number, value: number): Promise<unknown>;
  writeRegisters(at: number, values: number[] | Buffer): Promise<unknown>;
  close(done: () => void): void;
}
const Client = createRequire(import.meta.url)('modbus-serial') as unknown as new () => ModbusClient;

/** An independent Modbus master on the near end. */
async function independentMaster(path: string): Promise<ModbusClient> {
  const client = new Client();
  await client.connectRTUBuffered(path, { baudRate: 19_200 });
  closing.push(() => new Promise<void>((resolve) => client.close(() => resolve())));
  client.setID(1);
  client.setTimeout(1000);
  return client;
}

describe('an independent Modbus implementation and a device of ours', () => {
  it('reads pressure, oil and status with functions 3 and 4', async () => {
    const { cable } = await ownDevice();
    const master = await independentMaster(cable.path);
    for (const read of [master.readHoldingRegisters, master.readInputRegisters]) {
      const { data, buffer } = await read.call(master, modbusMap.pressure, 4);
      expect(buffer.readFloatBE(0)).toBeCloseTo(253.7, 4);
      expect(data.slice(2)).toEqual([215, 0]);
    }
  });

  it('writes one register and several, and reads them again', async () => {
    const { device, cable } = await ownDevice();
    const master = await independentMaster(cable.path);
    await master.writeRegister(modbusMap.spare, 77);
    expect(device.registers[modbusMap.spare]).toBe(77);
    const float = Buffer.alloc(4);
    float.writeFloatBE(1.2345);
    await master.writeRegisters(modbusMap.spare, float);
    expect((await master.readHoldingRegisters(modbusMap.spare, 2)).buffer.readFloatBE(0)).toBeCloseTo(1.2345, 6);
  });

  it('is refused what is not there, and what it may not write', async () => {
    const { cable } = await ownDevice();
    const master = await independentMaster(cable.path);
    await expect(master.readHoldingRegisters(5, 2)).rejects.toMatchObject({ modbusCode: 2 });
    await expect(master.writeRegister(modbusMap.pressure, 1)).rejects.toMatchObject({ modbusCode: 2 });
    expect((await master.readHoldingRegisters(0, 2)).buffer.readFloatBE(0)).toBeCloseTo(253.7, 4);
  });
});

/** The bytes that answer a frame, by hand. */
async function answerTo(frame: string): Promise<string> {
  const answers: Buffer[] = [];
  let hear: (bytes: Uint8Array) => void = () => undefined;
  const device = new ModbusDevice(
    {
      write: async (bytes) => void answers.push(Buffer.from(bytes)),
      onBytes: (listener) => {
        hear = listener;
      },
    },
    { address: 1, unit: 'bar' },
  );
  device.show({ pressurePa: pressurePa(25_370_000), oilK: null });
  hear(Buffer.from(frame, 'hex'));
  return Buffer.concat(answers).toString('hex');
}

describe('frame by frame', () => {
  // Write of 1.2345 to register 4 (MODBUS application protocol V1.1b3, 6.12; CRC computed from the definition), and its echo.
  it.each([
    ['the write of 1.2345 to register 4', '01100004000204 3f9e0419 5cac', '011000040002 0009'],
    ['253.7 read', '010300000002 c40b', '010304 437db333 4a8a'],
    ['noise before the question', 'ff00 010300000002 c40b', '010304 437db333 4a8a'],
    ['another address', '020300000002 c438', ''],
    ['a CRC that does not agree', '010300000002 c40c', ''],
  ])('%s', async (_, asked, answer) => {
    expect(await answerTo(asked.replaceAll(' ', ''))).toBe(answer.replaceAll(' ', ''));
  });
});

it('our driver reads our device; what it does not know is no value', async () => {
  const { device, cable } = await ownDevice();
  const driver = createModbusRtu({
    path: cable.path,
    address: 1,
    unit: 'bar',
    pressure: { register: modbusMap.pressure },
    oil: { register: modbusMap.oil, type: 'int16', scale: 0.1, noValueNumbers: [-32_768] },
    status: { register: modbusMap.status, good: [0] },
    ratePerS: 100,
  });
  closing.push(() => driver.close());
  await driver.open();
  const seen = new Collected(driver);
  await seen.until(() => seen.readings.length >= 2);
  expect(seen.readings[0]).toMatchObject({ pressurePa: 25_370_000, oilK: 294.65 });
  device.show({ pressurePa: null, oilK: null });
  await seen.until(() => seen.readings.at(-1)?.pressurePa === null);
  expect(seen.readings.at(-1)).toMatchObject({ pressurePa: null, oilK: null });
});
