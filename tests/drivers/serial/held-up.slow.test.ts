import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import type { Readable } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { expect, it, onTestFinished } from 'vitest';
import { createAsciiStream } from '../../../drivers/ascii-stream/index.js';
import { tcpDriver } from '../../../drivers/modbus-rtu/index.js';
import { type GaugeDriver, supervised, supervisionLimits } from '../../../src/gauge/index.js';
import { Collected } from '../collect.js';
import { Cable, sleep } from '../pty.js';

const seed = Math.floor(Math.random() * 2 ** 31);
let state = seed | 1;
/** 0 to 1 from the seed alone (Marsaglia's xorshift). */
function chance(): number {
  state ^= state << 13;
  state ^= state >>> 17;
  state ^= state << 5;
  return (state >>> 0) / 2 ** 32;
}

/** This process does nothing for so long: as on a computer with too much to do, with a slow disk, or swapping. */
const holdUp = (ms: number): void => {
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, ms);
};

/** A gauge that is asked has no reading while nobody asks: that silence is none that is looked for here. */
const limitsAt = (perS: number) =>
  supervisionLimits({ rangeLowPa: 0, rangeHighPa: 1e15, resolutionPa: 1, silentAfterS: perS > 0 ? 2 : 5 });

const portOf = async (gauge: ChildProcess): Promise<string> => {
  const [line] = await once(gauge.stdout as Readable, 'data');
  return `127.0.0.1:${JSON.parse(String(line)).port}`;
};

/** A gauge in another process, read by a driver in this one, which is held up so many times for so long. */
async function heldUp(make: (path: string) => GaugeDriver, perS: number, holdUpsMs: readonly number[]) {
  const cable = await Cable.lay();
  const program = fileURLToPath(new URL('./beating-gauge.ts', import.meta.url));
  const command = ['--import', 'tsx', program, String(perS), String(process.hrtime.bigint())];
  const gauge = spawn(process.execPath, command, { stdio: ['ignore', 'pipe', 'inherit', cable.farEnd] });
  const path = perS > 0 ? cable.path : await portOf(gauge);
  const driver = supervised(make(path), limitsAt(perS));
  await driver.open();
  const seen = new Collected(driver);
  onTestFinished(async () => {
    await driver.close();
    gauge.kill();
    await cable.unplug();
  });
  const until = async (readings: number): Promise<void> => {
    await seen.until(() => seen.readings.length >= readings, 60_000);
  };
  await until(30);
  for (const ms of holdUpsMs) {
    await until(seen.readings.length + 10 + Math.floor(10 * chance()));
    await sleep(50 * chance());
    holdUp(ms);
  }
  await until(seen.readings.length + 10);
  const readings = seen.readings.flatMap(({ timeUs, pressurePa }) =>
    pressurePa === null ? [] : [{ atMs: timeUs / 1000, sentMs: pressurePa / 1e5 }],
  );
  const gaps = (of: (one: (typeof readings)[number]) => number): number[] =>
    readings.slice(1).map((one, index) => of(one) - of(readings[index] ?? one));
  return { readings, faults: seen.faults, heardMs: gaps(({ atMs }) => atMs), sentMs: gaps(({ sentMs }) => sentMs) };
}

it('a program held up for up to eight seconds reads every line of a gauge, and tells no silence', async () => {
  process.stderr.write(`held-up: seed ${seed}\n`);
  const holdUps = [200, 450, 700, 1200, 2500, 8000].map((ms) => ms * (0.8 + 0.4 * chance()));
  const { faults, heardMs, sentMs } = await heldUp(
    (path) => createAsciiStream({ path, pattern: '{pressure} {unit}', unit: 'bar', baudRate: 115_200 }),
    40,
    holdUps,
  );
  // The gauge itself is another process of this computer, and may be late.
  const latestMs = Math.max(...sentMs);
  expect(Math.min(...sentMs)).toBeGreaterThanOrEqual(0);
  expect(latestMs).toBeLessThan(2000);
  expect(faults.map(({ text }) => text)).toEqual([]);
  expect(Math.max(...heardMs)).toBeLessThan(latestMs + 450);
});

it('a program held up for longer than an answer may take takes the answer that is there', async () => {
  const holdUps = Array.from({ length: 5 }, () => 1700 + 600 * chance());
  const { faults, sentMs, readings } = await heldUp(
    (path) =>
      tcpDriver.create({ path, address: 1, unit: 'bar', pressure: { register: 0 }, rate_per_s: 20, timeout_ms: 1500 }),
    0,
    holdUps,
  );
  // Who does not ask gets fewer answers.
  expect(faults.filter(({ code }) => code !== 'rate-fallen').map(({ text }) => text)).toEqual([]);
  expect(Math.min(...sentMs)).toBeGreaterThanOrEqual(0);
  expect(readings.length).toBeGreaterThan(80);
});
