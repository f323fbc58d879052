import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createAsciiPoll } from '../../../drivers/ascii-poll/index.js';
import { createAsciiStream } from '../../../drivers/ascii-stream/index.js';
import { createLogFile } from '../../../drivers/log-file/index.js';
import { findReply } from '../../../drivers/modbus-rtu/frame.js';
import { createModbusRtu } from '../../../drivers/modbus-rtu/index.js';
import { DwellmarkError, type GaugeDriver } from '../../../src/gauge/index.js';
import { Collected } from '../collect.js';
import { Cable, sleep } from '../pty.js';
import { holdsAnswer, noisyAnswer, request } from './frames.js';
import { noisyBytes, readNoisy, valuesWithin } from './noisy-line.js';

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

describe('noise on a real pseudo-terminal', () => {
  async function noise(make: (path: string) => GaugeDriver, lines: number): Promise<Collected> {
    const cable = await Cable.lay();
    const driver = make(cable.path);
    await driver.open();
    const seen = new Collected(driver);
    for (const { bytes } of fc.sample(noisyBytes(1000), lines / 1000)) await cable.send(bytes);
    await cable.send(Buffer.alloc(1_000_000, 0x37));
    await sleep(500);
    await driver.close();
    await seen.done;
    await cable.unplug();
    return seen;
  }

  it('100,000 lines to a gauge that talks: bounded memory, no plain error', async () => {
    const before = process.memoryUsage().heapUsed;
    const seen = await noise((path) => createAsciiStream({ path, pattern: '{pressure} {unit}', unit: 'bar' }), 100_000);
    expect(seen.readings.length).toBeGreaterThan(20_000);
    expect(seen.faults.every((fault) => fault.text.length < 300)).toBe(true);
    seen.items.length = 0;
    globalThis.gc?.();
    expect(process.memoryUsage().heapUsed - before).toBeLessThan(200e6);
  });

  it('10,000 lines to a gauge that is asked', async () => {
    const seen = await noise(
      (path) =>
        createAsciiPoll({ path, request: '?\r', pattern: '>{pressure}', unit: 'bar', ratePerS: 100, timeoutMs: 20 }),
      10_000,
    );
    expect(seen.readings).toEqual([]);
  });

  it('10,000 lines to Modbus', async () => {
    const seen = await noise(
      (path) =>
        createModbusRtu({ path, address: 1, unit: 'bar', pressure: { register: 0 }, ratePerS: 100, timeoutMs: 20 }),
      10_000,
    );
    expect(seen.readings).toEqual([]);
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
