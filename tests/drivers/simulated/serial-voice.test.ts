import { ReadlineParser } from '@serialport/parser-readline';
import { SerialPort } from 'serialport';
import { describe, expect, it } from 'vitest';
import {
  createSimulatedGauge,
  cylinderOnBench,
  type LineFault,
  lineOf,
  openPtyPair,
  plainShape,
  type SentLine,
  speak,
} from '../../../drivers/simulated/index.js';
import type { GaugeItem, Reading } from '../../../src/gauge/index.js';
import { pumpAndHold, run } from './run.js';

const cylinder = { boreM: 0.1, rodM: 0.056, strokeM: 0.5, lineM3: 0.3e-3 };
const instrument = {
  pressure: { unit: 'bar', resolution: 0.1, rangeLowPa: -1e5, rangeHighPa: 400e5, lagS: 0.05, whitePa: 8000 },
  oil: { lagS: 4, noiseK: 0.01, resolutionK: 0.01 },
} as const;

const reading = (changes: Partial<Record<keyof Reading, number | null>>): Reading =>
  ({ timeUs: 0, pressurePa: null, oppositePa: null, oilK: null, flags: 0, ...changes }) as Reading;

describe('a reading as a line', () => {
  it.each([
    [{ pressurePa: 25_370_000, oilK: 296.56 }, '+0253.7 bar +23.41 C\r\n'],
    [{ pressurePa: -40_000, oilK: 263.15 }, '-0000.4 bar -10.00 C\r\n'],
    [{ pressurePa: -4_000 }, '+0000.0 bar ------ C\r\n'],
    [{ flags: 1, oilK: 293.15 }, '------ bar +20.00 C\r\n'],
    [{ flags: 2, oilK: 293.15 }, 'OVER bar +20.00 C\r\n'],
    [{ flags: 4, oilK: 293.15 }, 'UNDER bar +20.00 C\r\n'],
    [{ pressurePa: 25_370_000, oppositePa: 100_000, oilK: 293.15 }, '+0253.7 bar +0001.0 bar +20.00 C\r\n'],
  ])('%o is %j', (changes, line) => {
    expect(lineOf(reading(changes), plainShape)).toBe(line);
  });

  it('gives back the pascals of the reading when it is read again', async () => {
    const bench = cylinderOnBench('A', cylinder, pumpAndHold(160e5, 20));
    for (const unit of ['bar', 'psi'] as const) {
      const own = { ...instrument, pressure: { ...instrument.pressure, unit, resolution: unit === 'bar' ? 0.1 : 1 } };
      const { readings } = await run({ ports: { A: bench }, instrument: own });
      const shape = { ...plainShape, unit, decimals: unit === 'bar' ? 1 : 0 };
      const factor = unit === 'bar' ? 100_000 : 6894.757293168361;
      const wrong = readings.filter(
        (one) => Math.round(Number.parseFloat(lineOf(one, shape)) * factor) !== one.pressurePa,
      );
      expect(wrong).toEqual([]);
      expect(readings.length).toBeGreaterThan(300);
    }
  });
});

/**
 * Opens the far end with the real serial stack, lets the gauge speak, and gathers what arrived. A plug is pulled 20 ms
 * late, so that the stack has read what was sent; the port then has to die without being closed.
 */
async function overSerial(
  items: AsyncIterable<GaugeItem>,
  baud: number,
  faults: readonly LineFault[] = [],
): Promise<{ sent: readonly SentLine[]; arrived: readonly string[]; echoed: number; portDied: boolean }> {
  const pair = await openPtyPair();
  let echoed = 0;
  pair.onBytes((bytes) => {
    echoed += bytes.length;
  });
  const port = new SerialPort({ path: pair.path, baudRate: baud, autoOpen: false });
  await new Promise<void>((resolve, reject) => port.open((error) => (error ? reject(error) : resolve())));
  const arrived: string[] = [];
  port
    .pipe(new ReadlineParser({ delimiter: '\r\n', encoding: 'latin1' }))
    .on('data', (line: string) => arrived.push(line));
  port.on('error', () => undefined);
  let pulled = false;
  const plug = {
    write: pair.write,
    close: () => {
      pulled = true;
      setTimeout(pair.close, 20);
    },
  };
  const sent = await speak(items, plug, { shape: plainShape, baud, faults });
  const deadline = performance.now() + 15_000;
  const waiting = (): boolean => arrived.length < sent.length || (pulled && port.isOpen);
  while (waiting() && performance.now() < deadline) await new Promise((go) => setTimeout(go, 10));
  await new Promise((go) => setTimeout(go, 50));
  const portDied = !port.isOpen;
  if (port.isOpen) await new Promise<void>((resolve) => port.close(() => resolve()));
  pair.close();
  return { sent, arrived, echoed, portDied };
}

async function* first(items: AsyncIterable<GaugeItem>, count: number): AsyncIterable<GaugeItem> {
  let left = count;
  for await (const item of items) {
    if (left-- <= 0) return;
    yield item;
  }
}

const gauge = (): AsyncIterable<GaugeItem> =>
  createSimulatedGauge({
    ports: { A: cylinderOnBench('A', cylinder, pumpAndHold(160e5, 20)) },
    instrument,
    seed: 11,
    ratePerS: 10,
    speed: 'as fast as possible',
  }).items();

describe.concurrent('the voice on a pseudo-terminal, heard by the real serial stack', () => {
  it.each([
    { baud: 9600, lines: 30 },
    { baud: 115_200, lines: 400 },
  ])('arrives line for line at $baud baud, with no echo', async ({ baud, lines }) => {
    const startMs = performance.now();
    const { sent, arrived, echoed, portDied } = await overSerial(first(gauge(), lines), baud);
    expect(sent).toHaveLength(lines);
    expect(arrived.map((line) => `${line}\r\n`)).toEqual(sent.map(({ text }) => text));
    expect([echoed, portDied]).toEqual([0, false]);
    const bytes = sent.reduce((sum, { text }) => sum + text.length, 0);
    expect(performance.now() - startMs).toBeGreaterThan(0.9 * ((bytes * 10_000) / baud));
  });

  it('is not echoed when nobody has opened the far end yet', async () => {
    const pair = await openPtyPair();
    let echoed = 0;
    pair.onBytes((bytes) => {
      echoed += bytes.length;
    });
    await pair.write(new TextEncoder().encode('+0253.7 bar\r\n'));
    await new Promise((go) => setTimeout(go, 50));
    pair.close();
    pair.close();
    expect(echoed).toBe(0);
    await expect(pair.write(new Uint8Array([65]))).rejects.toThrow('the pseudo-terminal is closed');
  });

  it('hears the program too: a request arrives byte for byte', async () => {
    const pair = await openPtyPair();
    const heard: number[] = [];
    pair.onBytes((bytes) => heard.push(...bytes));
    const port = new SerialPort({ path: pair.path, baudRate: 19_200, autoOpen: false });
    await new Promise<void>((resolve, reject) => port.open((error) => (error ? reject(error) : resolve())));
    const request = [...Array(256).keys()];
    port.write(Buffer.from(request));
    const deadline = performance.now() + 2000;
    while (heard.length < 256 && performance.now() < deadline) await new Promise((go) => setTimeout(go, 5));
    await new Promise<void>((resolve) => port.close(() => resolve()));
    pair.close();
    expect(heard).toEqual(request);
  });

  it('unplugged in the middle: what was sent has arrived, then the port dies', async () => {
    const { sent, arrived, portDied } = await overSerial(gauge(), 115_200, [{ kind: 'unplug', atS: 3 }]);
    expect(sent).toHaveLength(29);
    expect(arrived.map((line) => `${line}\r\n`)).toEqual(sent.map(({ text }) => text));
    expect(portDied).toBe(true);
  });
});
