import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { closeSync, constants, mkdtempSync, openSync, read, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { ReadStream } from 'node:tty';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { ReadlineParser } from '@serialport/parser-readline';
import { SerialPort } from 'serialport';
import { createAsciiStream } from '../../drivers/ascii-stream/index.js';
import { HoldRun, LiveRun, prepare, readShop, shopFileName, testHeader } from '../../src/bench/index.js';
import { Judgement } from '../../src/evaluation/index.js';
import { type GaugeDriver, type GaugeItem, readyItems, supervised, supervisionLimits } from '../../src/gauge/index.js';
import { commitEvery, openStore } from '../../src/record/index.js';
import { writeQuickShop } from '../bench-live/quick-bench.js';
import { lineLength } from './gauge-line.js';

/*
 * Lines a second and processor time for 1,000 readings: a bare serialport + parser-readline loop beside the driver
 * with decoding and supervision on, with storing as well, and beside the whole live run, on the same kind of
 * pseudo-terminal, a device process writing the same lines as fast as they are read. Then the same at rates that a serial line carries: one gauge at 480 readings a
 * second (what 115,200 baud has room for), four at 100; and the time from a value's last byte to the alarm it raises.
 */

const { open } = createRequire(import.meta.url)('@lydell/node-pty') as {
  open(options: { encoding: null }): { master: ReadStream; slave: ReadStream; _fd: number; _pty: string };
};

interface Device {
  readonly path: string;
  /** The computer's end of the line, open. */
  readonly near: number;
  talk(count: number, perS: number): ChildProcess;
  unplug(): void;
}

function device(): Device {
  const { master, slave, _fd, _pty } = open({ encoding: null });
  slave.setRawMode(true);
  const near = openSync(_pty, constants.O_RDWR | constants.O_NOCTTY);
  slave.destroy();
  master.on('error', () => {});
  const talker = fileURLToPath(new URL('./gauge-talker.ts', import.meta.url));
  return {
    path: _pty,
    near,
    talk: (count, perS) =>
      spawn(process.execPath, ['--import', 'tsx', talker, String(count), String(perS)], {
        stdio: ['ignore', 'ignore', 'inherit', _fd],
      }),
    unplug: () => {
      closeSync(near);
      master.destroy();
    },
  };
}

/** Lines a second that the device has to give, to a reader that does nothing with them: more than any way below takes. */
async function deviceAlone(count: number): Promise<number> {
  const { near, talk, unplug } = device();
  const room = Buffer.alloc(65_536);
  const readOn = async (): Promise<number> => (await promisify(read)(near, room, 0, room.length, null)).bytesRead;
  talk(count, 0);
  const first = await readOn();
  const startedMs = performance.now();
  let bytes = first;
  while (bytes < count * lineLength) bytes += await readOn();
  const seconds = (performance.now() - startedMs) / 1000;
  unplug();
  return (bytes - first) / lineLength / seconds;
}

interface Figures {
  readonly linesPerS: number;
  readonly cpuMsPer1000: number;
}

/** Time from the first line on, so that the device's start does not count. */
async function measure(
  count: number,
  run: (path: string, onLine: () => void) => Promise<() => Promise<void>>,
): Promise<Figures> {
  const { path, talk, unplug } = device();
  let seen = 0;
  let startedMs = 0;
  let cpu = process.cpuUsage();
  let finish = (): void => {};
  const finished = new Promise<void>((resolve) => {
    finish = resolve;
  });
  const stop = await run(path, () => {
    seen += 1;
    if (seen === 1) {
      startedMs = performance.now();
      cpu = process.cpuUsage();
    }
    if (seen >= count - 1) finish();
  });
  talk(count, 0);
  await finished;
  const seconds = (performance.now() - startedMs) / 1000;
  const used = process.cpuUsage(cpu);
  await stop();
  unplug();
  return { linesPerS: seen / seconds, cpuMsPer1000: (used.user + used.system) / seen };
}

async function bare(path: string, onLine: () => void): Promise<() => Promise<void>> {
  const port = new SerialPort({ path, baudRate: 115_200 });
  port.pipe(new ReadlineParser()).on('data', onLine);
  await once(port, 'open');
  return () => new Promise((resolve) => port.close(() => resolve()));
}

const limits = supervisionLimits({ rangeLowPa: 0, rangeHighPa: 4e7, resolutionPa: 1e3 });

function gauge(path: string): GaugeDriver {
  const driver = createAsciiStream({
    path,
    baudRate: 115_200,
    pattern: '{pressure} {unit} {oil} {oil_unit}',
    unit: 'bar',
  });
  return supervised(driver, limits);
}

/** Takes all that comes as the bench does: what waits already without a pause. */
async function drain(driver: GaugeDriver, take: (item: GaugeItem) => void): Promise<void> {
  const items = driver.items();
  const ready = readyItems(items);
  for await (const first of items)
    for (let item: GaugeItem | undefined = first; item; item = ready?.takeNow()) take(item);
}

async function full(path: string, onLine: () => void): Promise<() => Promise<void>> {
  const driver = gauge(path);
  await driver.open();
  void drain(driver, (item) => {
    if (item.kind === 'reading') onLine();
  });
  return () => driver.close();
}

/** A test in a store on disk, open and ready to be written. */
async function openTest(port: string, driver: GaugeDriver) {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-bench-'));
  const jobFile = writeQuickShop(folder, port, { dwellS: 600, attended: false, ports: ['A'] });
  const shop = readShop(path.join(folder, shopFileName));
  const prepared = prepare({ jobFile, shop, attendance: 'unattended', on: '2026-03-14' });
  const store = openStore(shop.database, { mode: 'write' });
  const facts = { prepared, shop, store, technician: 'R. Sand', origin: 'simulated', now: new Date() } as const;
  const header = testHeader({ ...facts, test: store.nextTestId(), gauge: await driver.open() });
  const writer = store.beginTest(header, commitEvery.live);
  const close = (): void => {
    store.close();
    rmSync(folder, { recursive: true, force: true });
  };
  return { plan: prepared.plan, writer, close };
}

/** Readings, faults and raw lines on disk, committed every second as a live test is. */
async function stored(port: string, onLine: () => void): Promise<() => Promise<void>> {
  const driver = gauge(port);
  const { writer, close } = await openTest(port, driver);
  const everySecond = setInterval(() => writer.flush(), 1000);
  const done = drain(driver, (item) => {
    if (item.kind === 'line') writer.rawLine(item);
    else writer.append(item);
    if (item.kind === 'reading') onLine();
  });
  return async () => {
    clearInterval(everySecond);
    await driver.close();
    await done;
    writer.flush();
    close();
  };
}

/** The whole live run: judged, too. */
async function live(port: string, onLine: () => void): Promise<() => Promise<void>> {
  const driver = gauge(port);
  const { plan, writer, close } = await openTest(port, driver);
  const hold = new HoldRun(new Judgement(plan), writer, ({ input }) => {
    if (input.kind === 'reading') onLine();
  });
  const run = new LiveRun({ driver, hold, endWhenDone: false, giveUpAfterS: null });
  const done = run.run();
  return async () => {
    run.end('stopped');
    await done;
    hold.flush();
    close();
  };
}

async function atRate(
  gauges: number,
  perS: number,
  seconds: number,
  run: typeof bare,
): Promise<{ share: number; readings: number }> {
  const devices = Array.from({ length: gauges }, device);
  let readings = 0;
  const stops = await Promise.all(
    devices.map((one) =>
      run(one.path, () => {
        readings += 1;
      }),
    ),
  );
  const talkers = devices.map((one) => one.talk(perS * (seconds + 10), perS));
  await new Promise((resolve) => setTimeout(resolve, 3000));
  const [cpu, atMs, before] = [process.cpuUsage(), performance.now(), readings];
  await new Promise((resolve) => setTimeout(resolve, seconds * 1000));
  const used = process.cpuUsage(cpu);
  const share = (used.user + used.system) / 1000 / (performance.now() - atMs);
  const counted = readings - before;
  for (const talker of talkers) talker.kill();
  await Promise.all(stops.map((stop) => stop()));
  for (const one of devices) one.unplug();
  return { share, readings: counted };
}

/** Milliseconds from handing a value over its range to the system until the fault comes out, 99th percentile of 200. */
async function byteToAlarm(): Promise<number> {
  const { master, slave, _pty } = open({ encoding: null });
  slave.setRawMode(true);
  const driver = gauge(_pty);
  await driver.open();
  slave.destroy();
  const times: number[] = [];
  let sentMs = 0;
  let next = (): void => {};
  void (async () => {
    for await (const item of driver.items())
      if (item.kind === 'fault' && item.fault.code === 'over-range') {
        times.push(performance.now() - sentMs);
        next();
      }
  })();
  const write = (text: string): boolean => (master as unknown as NodeJS.WritableStream).write(text);
  write('\r\n');
  for (let index = 0; index < 200; index++) {
    write('  250.00 bar  21.5 C\r\n');
    await new Promise((resolve) => setTimeout(resolve, 5));
    const alarm = new Promise<void>((resolve) => {
      next = resolve;
    });
    sentMs = performance.now();
    write('  401.00 bar  21.5 C\r\n');
    await alarm;
  }
  await driver.close();
  master.on('error', () => {});
  master.destroy();
  return times.sort((a, b) => a - b)[Math.floor(0.99 * times.length)] ?? Number.NaN;
}

const count = 400_000;
const rounds = 7;
const ways = [
  ['bare serialport + parser-readline', bare],
  ['decoded and supervised', full],
  ['decoded, supervised and stored', stored],
  ['the whole live run: judged, too', live],
] as const;

const print = (text: string): boolean => process.stdout.write(`${text}\n`);
const median = (runs: readonly Figures[]): Figures => {
  const sorted = [...runs].sort((a, b) => a.linesPerS - b.linesPerS);
  return sorted[Math.floor(sorted.length / 2)] ?? { linesPerS: Number.NaN, cpuMsPer1000: Number.NaN };
};
const runs = new Map<string, Figures[]>(ways.map(([name]) => [name, []]));
// All ways in turn, and the median of each: a computer that is busy for a while is so for all of them.
for (let round = 0; round < rounds; round++)
  for (const [name, run] of ways) runs.get(name)?.push(await measure(count, run));

print(`the device alone gives ${(await deviceAlone(count)).toFixed(0)} lines/s`);
const bareUsual = median(runs.get(ways[0][0]) ?? []);
print(`${''.padEnd(36)} ${'lines/s'.padStart(9)} ${'of bare'.padStart(8)} ${'ms CPU/1,000'.padStart(13)}`);
for (const [name, all] of runs) {
  const { linesPerS, cpuMsPer1000 } = median(all);
  const share = `${((100 * linesPerS) / bareUsual.linesPerS).toFixed(0)} %`;
  print(
    `${name.padEnd(36)} ${linesPerS.toFixed(0).padStart(9)} ${share.padStart(8)} ${cpuMsPer1000.toFixed(2).padStart(13)}`,
  );
}
for (const [gauges, perS] of [
  [1, 480],
  [4, 100],
] as const)
  for (const [name, run] of ways) {
    const { share: busy, readings } = await atRate(gauges, perS, 4, run);
    print(`${gauges} at ${perS}/s, ${name}: ${(100 * busy).toFixed(1)} % of a core (${readings} readings in 4 s)`);
  }
print(`from byte to alarm: ${(await byteToAlarm()).toFixed(1)} ms at the 99th percentile`);
process.exit(0);
