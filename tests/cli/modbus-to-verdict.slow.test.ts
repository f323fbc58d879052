import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { ModbusDevice, openPtyPair } from '../../drivers/simulated/index.js';
import { shopFileName } from '../../src/bench/index.js';
import type { ResultJson } from '../../src/cli/report/result-json.js';
import { pressurePa } from '../../src/gauge/index.js';
import { commandLine, runProgram, startProgram, TmuxTerminal, until, withStore } from '../bench-live/bench-process.js';
import { quickGauge, writeQuickShop } from '../bench-live/quick-bench.js';

const closing: (() => void)[] = [];
afterAll(() => {
  for (const close of closing.reverse()) close();
});

const dwellS = 6;

/** A shop that knows no gauge yet, its job, and a device on Modbus that nothing has been said of. */
async function unknownDevice() {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-modbus-'));
  closing.push(() => rmSync(folder, { recursive: true, force: true }));
  const pair = await openPtyPair();
  closing.push(() => pair.close());
  const job = writeQuickShop(folder, pair.path, { dwellS, attended: false, ports: ['A'] });
  writeFileSync(path.join(folder, shopFileName), 'name = "Harrow Fell Hydraulics"\n');
  return { folder, job, path: pair.path, device: new ModbusDevice(pair, { address: 1, unit: 'bar' }) };
}

type Unknown = Awaited<ReturnType<typeof unknownDevice>>;

/** `gauge add` on a terminal: what the manual says of the registers is typed, all else confirmed. */
async function addByConfirming({ folder, device, path: port }: Unknown): Promise<void> {
  const facts = ['--serial', 'BL-1001', '--range', '0..100 bar', '--accuracy', '0.1 %FS'];
  const args = ['gauge', 'add', '--shop', folder, '--path', port, '--driver', 'modbus-rtu', ...facts];
  const terminal = new TmuxTerminal({ columns: 110, rows: 60 }, commandLine(...args));
  closing.push(() => terminal.close());
  const answer = async (question: string, typed = ''): Promise<void> => {
    await terminal.shows(question);
    if (typed !== '') terminal.type(typed);
    terminal.keys('Enter');
  };
  device.show({ pressurePa: pressurePa(6_137_000), oilK: null });
  await answer('Modbus address [1]');
  await answer('Register of the pressure, as in the manual [0]');
  await answer('Type of the value');
  expect(await terminal.shows('Number [1]')).toMatch(
    /1 {2}register 0, counted from 0 +ABCD +61\.37 bar {2}<- could be/,
  );
  await answer('Number [1]');
  await answer('Register of the oil temperature');
  await answer('Register of a status', '3');
  await answer('Number that means well [0]');
  await answer('Does the display of the gauge show the same?', 'y');
  await answer('Resolution', '0.01 bar');
  await answer('Write this into', 'y');
  await terminal.shows('left with 0');
  terminal.close();
}

/** A test by the program, with a cylinder of that leak (mL/min) behind the device. */
async function testOn({ folder, job, device }: Unknown, leakMlPerMin?: number) {
  const gauge = quickGauge({
    ...{ dwellS, attended: false, ports: ['A'], ratePerS: 25 },
    ...(leakMlPerMin === undefined ? {} : { leakMlPerMin }),
  });
  await gauge.open();
  const displayed = new Set<number>();
  const args = ['test', job, '--unattended', '--json', '--technician', 'Marek Dunn', '--shop', folder];
  const { child, said } = startProgram(args);
  const left = new Promise<number | null>((resolve) => child.on('close', resolve));
  device.show({ pressurePa: pressurePa(0), oilK: null });
  displayed.add(0);
  await until('the test has begun', () => /^T-\d{4}-\d{4}: /m.test(said()) || child.exitCode !== null);
  const show = async (): Promise<void> => {
    for await (const item of gauge.items()) {
      if (item.kind !== 'reading' || item.reading.pressurePa === null) continue;
      device.show({ ...item.reading, oilK: null });
      displayed.add(item.reading.pressurePa);
    }
  };
  const showing = show();
  const exit = await left;
  await gauge.close();
  await showing;
  const test = /^(T-\d{4}-\d{4}): /m.exec(said())?.[1] ?? `no test: ${said()}`;
  const { said: json } = await runProgram(['show', test, '--json', '--shop', folder]);
  return { exit, displayed, test, said: said(), shown: JSON.parse(json) as ResultJson };
}

describe('a gauge on Modbus, from an unknown device to verdicts', () => {
  it('is added by confirming; a tight cylinder passes on it, and a leaking one fails', async () => {
    const unknown = await unknownDevice();
    await addByConfirming(unknown);
    for (const { leak, verdict, exit } of [
      { leak: undefined, verdict: 'pass', exit: 0 },
      { leak: 1, verdict: 'fail', exit: 1 },
    ]) {
      const run = await testOn(unknown, leak);
      expect({ verdict: run.shown.verdict, exit: run.exit }, run.said).toEqual({ verdict, exit });
      expect(run.said).toMatch(/^T-\d{4}-\d{4}: \S+ at 19200 baud 8E1/m);
      withStore(unknown.folder, (store) => {
        const { header } = store.test(run.test);
        expect(header.gauge).toMatchObject({ driver: 'modbus-rtu', unit: 'bar' });
        const trace = [...store.trace(run.test)];
        expect(trace.length).toBeGreaterThan(150);
        expect(trace.filter(({ pressurePa: pa }) => !run.displayed.has(pa ?? Number.NaN))).toEqual([]);
        expect(Math.max(...trace.map(({ pressurePa: pa }) => pa ?? 0))).toBeGreaterThan(60e5);
      });
      const verified = await runProgram(['verify', run.test, '--shop', unknown.folder]);
      expect(verified.code, verified.said).toBe(0);
    }
  });
});
