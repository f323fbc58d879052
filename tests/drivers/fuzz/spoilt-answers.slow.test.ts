import { expect, it } from 'vitest';
import { createAsciiPoll } from '../../../drivers/ascii-poll/index.js';
import { createModbusRtu, tcpDriver } from '../../../drivers/modbus-rtu/index.js';
import type { GaugeDriver } from '../../../src/gauge/index.js';
import { floatWords } from '../modbus-server.js';
import { TcpWire } from '../tcp-wire.js';
import { crcByBits } from './frames.js';
import { spoilAnswers, type Wire } from './spoilt-answers.js';

const timeoutMs = 40;
const [cables, askedEach] = [50, 220];
const seed = Math.floor(Math.random() * 2 ** 31);

/** 100.00 bar and up, every answer another one. */
const barOf = (count: number): number => 100 + count / 100;

const line = (count: number) => ({
  bytes: Buffer.from(`>${barOf(count).toFixed(2)}\r`),
  pressurePa: Math.round(barOf(count) * 1e5),
});

const frame = (count: number) => {
  const words = floatWords(barOf(count));
  const body = Buffer.from([1, 3, 4, ...words.flatMap((word) => [word >> 8, word & 0xff])]);
  const crc = crcByBits(body);
  const pressurePa = Math.round(Math.fround(barOf(count)) * 1e5);
  return { bytes: Buffer.concat([body, Buffer.from([crc & 0xff, crc >> 8])]), pressurePa };
};

/** The same registers over TCP: each answer carries the transaction of its question. */
const tcpFrame = (count: number, question: Buffer) => {
  const words = floatWords(barOf(count));
  const body = [
    question[0] ?? 0,
    question[1] ?? 0,
    0,
    0,
    0,
    7,
    1,
    3,
    4,
    ...words.flatMap((word) => [word >> 8, word & 0xff]),
  ];
  return { bytes: Buffer.from(body), pressurePa: Math.round(Math.fround(barOf(count)) * 1e5) };
};

const asked = { ratePerS: 200, timeoutMs } as const;
const drivers: readonly [string, (path: string) => GaugeDriver, typeof tcpFrame, (() => Promise<Wire>)?][] = [
  [
    'ascii-poll',
    (path) =>
      createAsciiPoll({ path, request: '?\r', pattern: '>{pressure}', unit: 'bar', terminator: '\r', ...asked }),
    line,
  ],
  [
    'modbus-rtu',
    (path) => createModbusRtu({ path, address: 1, unit: 'bar', pressure: { register: 0 }, ...asked }),
    frame,
  ],
  [
    'modbus-tcp',
    (path) =>
      tcpDriver.create({
        path,
        address: 1,
        unit: 'bar',
        pressure: { register: 0 },
        rate_per_s: 200,
        timeout_ms: timeoutMs,
      }),
    tcpFrame,
    () => TcpWire.lay(),
  ],
];

it.concurrent.each(drivers)(
  '10,000 answers to %s, a third of them cut, late, doubled or in noise',
  async (name, make, answer, lay) => {
    const runs = await Promise.all(
      Array.from({ length: cables }, (_, index) =>
        spoilAnswers(make, answer, { asked: askedEach, timeoutMs, seed: seed + 7919 * index, ...(lay ? { lay } : {}) }),
      ),
    );
    const total = (of: (run: (typeof runs)[number]) => number): number => runs.reduce((sum, run) => sum + of(run), 0);
    const invented = runs.flatMap(({ read, sent }) => read.filter((pressure) => !sent.has(pressure)));
    const backwards = total(({ read }) => read.filter((one, index) => one < (read[index - 1] ?? 0)).length);
    const said = { seed, asked: total((run) => run.asked), spoilt: total((run) => run.spoilt) };
    process.stderr.write(`${name}: ${JSON.stringify({ ...said, read: total(({ read }) => read.length) })}\n`);
    expect({ invented, backwards }).toEqual({ invented: [], backwards: 0 });
    expect(said.asked).toBeGreaterThanOrEqual(10_000);
    expect(total(({ read }) => read.length)).toBeGreaterThan(said.asked / 3);
  },
);
