import { afterEach, describe, expect, it } from 'vitest';
import { tcpDriver } from '../../../drivers/modbus-rtu/index.js';
import { tcpFrame } from '../../../drivers/modbus-rtu/tcp-frame.js';
import { tcpAddress } from '../../../drivers/modbus-rtu/tcp-line.js';
import { Collected } from '../collect.js';
import { floatWords, modbusDeviceOnNetwork } from '../modbus-server.js';
import { TcpWire } from '../tcp-wire.js';

const closing: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

async function start(path: string, settings: Readonly<Record<string, unknown>> = {}) {
  const driver = tcpDriver.create({
    path,
    address: 7,
    unit: 'bar',
    pressure: { register: 10 },
    rate_per_s: 100,
    timeout_ms: 300,
    ...settings,
  });
  closing.push(() => driver.close());
  const description = await driver.open();
  return { description, seen: new Collected(driver) };
}

/** The answer to a question: its transaction, unit and function with a float, or with these words. */
function answerTo(question: Buffer, bar: number, transaction = question.readUInt16BE(0)): Buffer {
  const [high, low] = floatWords(bar);
  const frame = Buffer.from([0, 0, 0, 0, 0, 7, question[6] ?? 0, question[7] ?? 0, 4, 0, 0, 0, 0]);
  frame.writeUInt16BE(transaction, 0);
  frame.writeUInt16BE(high, 9);
  frame.writeUInt16BE(low, 11);
  return frame;
}

/** A device of our own; `answer` sends what it will. */
async function device(answer: (question: Buffer, count: number) => void): Promise<TcpWire> {
  const wire = await TcpWire.lay();
  closing.push(() => wire.unplug());
  let count = 0;
  wire.onBytes((bytes) => {
    for (let at = 0; at + 12 <= bytes.length; at += 12) {
      count += 1;
      answer(bytes.subarray(at, at + 12), count);
    }
  });
  return wire;
}

describe('Modbus TCP by the code of Modbus RTU', () => {
  it('asks as the specification lays a frame out', () => {
    // From memory: MODBUS messaging on TCP/IP V1.0b, 3.1.3, and the application protocol V1.1b3, 6.3.
    const frame = tcpFrame({ address: 17, function: 3, start: 107, count: 3 }, 0x1501);
    expect(frame.toString('hex')).toBe('150100000006110300' + '6b0003');
  });

  it.each([3, 4] as const)('reads an independent server by function %i', async (code) => {
    const words = new Map([...floatWords(253.7), 2150, 0].map((word, index) => [10 + index, word]));
    const served = await modbusDeviceOnNetwork(() => words, [code]);
    closing.push(served.close);
    const { seen, description } = await start(served.path, {
      function: code,
      oil: { register: 12, type: 'int16', scale: 0.01 },
      status: { register: 13, good: [0] },
    });
    await seen.until(() => seen.readings.length >= 3);
    expect(seen.readings[0]).toMatchObject({ pressurePa: 25_370_000, oilK: 294.65, flags: 0 });
    expect(seen.faults).toEqual([]);
    expect(description).toMatchObject({ driver: 'modbus-tcp', source: `${served.path}, address 7` });
  });

  it('reads bytes in pieces of one, and no answer of another transaction, unit or function', async () => {
    const wire = await device((question, count) => {
      const other = Buffer.from(answerTo(question, 99));
      other[6] = 8;
      const whole = Buffer.concat([
        answerTo(question, 98, question.readUInt16BE(0) + 5),
        other,
        answerTo(question, 100 + count),
      ]);
      for (const byte of whole) void wire.send(Uint8Array.of(byte));
    });
    const { seen } = await start(wire.path);
    await seen.until(() => seen.readings.length >= 5);
    for (const pressure of seen.pressuresPa) expect(pressure).toBeGreaterThan(100e5);
  });

  it('takes no late answer for the next one, tells a refusal, and goes on', async () => {
    const wire = await device((question, count) => {
      if (count === 3) setTimeout(() => void wire.send(answerTo(question, 55)), 400);
      else if (count === 8) void wire.send(Buffer.from([...question.subarray(0, 4), 0, 3, 7, 0x83, 11]));
      else void wire.send(answerTo(question, 100 + count));
    });
    const { seen } = await start(wire.path);
    await seen.until(() => seen.readings.length >= 10, 10_000);
    expect(seen.pressuresPa).not.toContain(55e5);
    expect(seen.faults.map(({ text }) => text).join('\n')).toMatch(/did not answer within[\s\S]*exception 11/);
  });

  it('tells that the gateway is gone and that it is back', async () => {
    const wire = await device((question, count) => void wire.send(answerTo(question, 100 + count)));
    const { seen } = await start(wire.path);
    await seen.until(() => seen.readings.length >= 3);
    await wire.unplug();
    await seen.until(() => seen.faults.some(({ code }) => code === 'unplugged'));
    const before = seen.readings.length;
    await wire.plugIn();
    await seen.until(() => seen.readings.length >= before + 3);
    expect(seen.faults.map(({ code, effect }) => `${code} ${effect}`)).toEqual(['unplugged void', 'replugged warn']);
  });

  it('says who is not there, and what is no address', async () => {
    await expect(start('127.0.0.1:1')).rejects.toMatchObject({
      code: 'gauge',
      message: '127.0.0.1:1 takes no connection',
    });
    expect(() => tcpDriver.create({ path: 'here or there', pressure: { register: 0 }, unit: 'bar' })).toThrow(
      '"here or there" names no gateway',
    );
    expect(() => tcpDriver.create({ path: 'gw', baud_rate: 9600, pressure: { register: 0 }, unit: 'bar' })).toThrow(
      'modbus-tcp has no setting "baud_rate"',
    );
    expect(tcpAddress('gw')).toEqual({ host: 'gw', port: 502 });
    expect(tcpAddress('[fe80::1]:1502')).toEqual({ host: 'fe80::1', port: 1502 });
  });
});
