import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createAsciiPoll } from '../../../drivers/ascii-poll/index.js';
import { createAsciiStream } from '../../../drivers/ascii-stream/index.js';
import { createLogFile } from '../../../drivers/log-file/index.js';
import { findReply } from '../../../drivers/modbus-rtu/frame.js';
import { createModbusRtu, tcpDriver } from '../../../drivers/modbus-rtu/index.js';
import { DwellmarkError, type GaugeDriver } from '../../../src/gauge/index.js';
import { Cable, sleep } from '../pty.js';
import { TcpWire } from '../tcp-wire.js';
import { holdsAnswer, noisyAnswer, request } from './frames.js';
import { noisyBytes, readNoisy, valuesWithin } from './noisy-line.js';
import type { Wire } from './spoilt-answers.js';

const valuesOf = (items: Awaited<ReturnType<typeof readNoisy>>): number[] =>
  items.flatMap((item) =>
    item.kind === 'reading' && item.reading.pressurePa !== null ? [item.reading.pressurePa] : [],
  );

it('100,000 noisy lines through the chain of the line drivers', async () => {
  await fc.assert(
    fc.asyncProperty(noisyBytes(500), async ({ bytes, pieces }) => {
      const read = valuesOf(await readNoisy(pieces));
      const sent = valuesWithin(bytes);
      expect(read.length).toBe(sent.length);
      for (const [index, value] of sent.entries()) expect(read[index]).toBeCloseTo(value * 1e5, -1);
    }),
    { numRuns: 200 },
  );
});

it('10,000 noisy Modbus answers', () => {
  fc.assert(
    fc.property(noisyAnswer, (bytes) => {
      const { kind } = findReply(bytes, request);
      expect(kind === 'registers' || kind === 'exception').toBe(holdsAnswer(bytes));
    }),
    { numRuns: 10_000 },
  );
});

/** What is held counts, not what waits for the collector: other tests of this process leave enough of that. */
setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void;

/** 100,000 lines in bad shape, and a megabyte without a line end. */
const lines = 100_000;
function* noisyLines(): Generator<Buffer> {
  for (const { bytes } of fc.sample(noisyBytes(1000), lines / 1000)) yield bytes;
  yield Buffer.alloc(1_000_000, 0x37);
}

/** 10,000 answers, whole and spoilt, of the device at address 2 to somebody else's questions. */
function* othersFrames(): Generator<Buffer> {
  for (const bytes of fc.sample(noisyAnswer, 10_000)) yield Buffer.from(bytes.map((byte) => (byte === 1 ? 2 : byte)));
}

describe('noise on a real pseudo-terminal, and on a connection', { timeout: 120_000 }, () => {
  /** Counts what comes and keeps nothing, as long as it may. */
  async function noise(make: (path: string) => GaugeDriver, sent: Iterable<Buffer>, lay: () => Promise<Wire>) {
    const cable = await lay();
    const driver = make(cable.path);
    await driver.open();
    const seen = { readings: 0, faults: 0, longestText: 0 };
    const done = (async () => {
      for await (const item of driver.items()) {
        if (item.kind === 'reading') seen.readings += item.reading.pressurePa === null ? 0 : 1;
        if (item.kind === 'fault') seen.faults += 1;
        const text = item.kind === 'line' ? item.text : item.kind === 'fault' ? item.fault.text : '';
        seen.longestText = Math.max(seen.longestText, text.length);
      }
    })();
    let before: NodeJS.MemoryUsage | undefined;
    let [mostHeap, mostBuffers] = [0, 0];
    let unseen = 0;
    for (const bytes of sent) {
      await cable.send(bytes);
      unseen += bytes.length;
      if (unseen < 50_000) continue;
      unseen = 0;
      collect();
      const { heapUsed, arrayBuffers } = process.memoryUsage();
      // From the first of them on: what is to be sent is made as a whole by then, and held by this test.
      before ??= process.memoryUsage();
      mostHeap = Math.max(mostHeap, heapUsed - before.heapUsed);
      mostBuffers = Math.max(mostBuffers, arrayBuffers - before.arrayBuffers);
    }
    await sleep(500);
    await driver.close();
    await done;
    await cable.unplug();
    return { ...seen, mostHeap, mostBuffers };
  }

  it('100,000 lines to a gauge that talks', async () => {
    const seen = await noise(
      (path) => createAsciiStream({ path, pattern: '{pressure} {unit}', unit: 'bar' }),
      noisyLines(),
      () => Cable.lay(),
    );
    expect(seen.readings).toBeGreaterThan(20_000);
    expect(seen.longestText).toBeLessThan(300);
    expect(seen.mostHeap).toBeLessThan(10e6);
    expect(seen.mostBuffers).toBeLessThan(10e6);
  });

  const asked = { ratePerS: 100, timeoutMs: 20 } as const;
  const poll = (path: string) =>
    createAsciiPoll({ path, request: '?\r', pattern: '>{pressure}', unit: 'bar', ...asked });
  const modbus = (path: string) =>
    createModbusRtu({ path, address: 1, unit: 'bar', pressure: { register: 0 }, ...asked });
  const network = (path: string) =>
    tcpDriver.create({ path, address: 1, unit: 'bar', pressure: { register: 0 }, rate_per_s: 100, timeout_ms: 20 });
  const serial = (): Promise<Wire> => Cable.lay();
  const tcp = (): Promise<Wire> => TcpWire.lay();

  it.each([
    ['100,000 lines to a gauge that is asked', poll, noisyLines, serial],
    ['10,000 frames to a gauge that is asked', poll, othersFrames, serial],
    ['100,000 lines to Modbus', modbus, noisyLines, serial],
    ["10,000 of others' frames to Modbus", modbus, othersFrames, serial],
    ['100,000 lines to Modbus over TCP', network, noisyLines, tcp],
    ['10,000 frames of a serial line to Modbus over TCP', network, othersFrames, tcp],
  ])('%s', async (_, make, sent, lay) => {
    const seen = await noise(make, sent(), lay);
    expect(seen.readings).toBe(0);
    expect(seen.faults).toBeGreaterThan(0);
    expect(seen.longestText).toBeLessThan(300);
    expect(seen.mostHeap).toBeLessThan(10e6);
    expect(seen.mostBuffers).toBeLessThan(10e6);
  });
});

it('10,000 spoilt logs: readings or a DwellmarkError with its line, never another error', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'dwellmark-fuzz-'));
  const path = join(folder, 'log.csv');
  const cell = fc.oneof(
    fc.double().map(String),
    fc.constantFrom('1,5', 'OL', '', '"', '""x"', '\u0000', '1e9', '2026-01-01'),
    fc.string(),
  );
  const row = fc.array(cell, { maxLength: 4 }).map((cells) => cells.join(','));
  const log = fc.array(row, { maxLength: 8 }).map((rows) => ['time_s,pressure_bar', ...rows].join('\n'));
  await fc.assert(
    fc.asyncProperty(log, async (text) => {
      await writeFile(path, text);
      const driver = createLogFile({ path });
      try {
        await driver.open();
        for await (const item of driver.items())
          if (item.kind === 'reading' && item.reading.pressurePa !== null)
            expect(Number.isInteger(item.reading.pressurePa)).toBe(true);
      } catch (error) {
        if (!(error instanceof DwellmarkError)) throw error;
        expect(error.place.line).toBeGreaterThan(0);
      } finally {
        await driver.close();
      }
    }),
    { numRuns: 10_000 },
  );
  await rm(folder, { recursive: true });
});
