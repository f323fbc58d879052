import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { openPtyPair, plainShape, speak } from '../../drivers/simulated/index.js';
import { readShop } from '../../src/bench/index.js';
import { commandLine, runProgram, startProgram, TmuxTerminal, until, withStore } from '../bench-live/bench-process.js';
import { quickGauge, writeQuickShop } from '../bench-live/quick-bench.js';
import { Cable } from '../drivers/pty.js';

const closing: (() => unknown)[] = [];
afterAll(async () => {
  for (const close of closing.reverse()) await close();
});

/** A shop whose gauge gives pressure alone, and an oil probe on a cable of its own that nobody has told it of. */
async function benchWithProbe() {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-probe-'));
  closing.push(() => rmSync(folder, { recursive: true, force: true }));
  const [pair, cable] = [await openPtyPair(), await Cable.lay()];
  closing.push(
    () => pair.close(),
    () => cable.unplug(),
  );
  const options = { dwellS: 5, attended: false, ports: ['A'] } as const;
  const job = writeQuickShop(folder, pair.path, options);
  const shopFile = path.join(folder, 'dwellmark.toml');
  writeFileSync(shopFile, readFileSync(shopFile, 'utf8').replace(' {oil} {oil_unit}', ''));
  let [count, still] = [0, false];
  const next = (): string => (still ? '104.5' : (104.5 + (count++ % 2) / 10).toFixed(1));
  const talk = setInterval(() => void cable.send(`T=${next()} degF\r\n`), 700);
  // Oil that goes to and fro by a tenth of a degree moves the pressure by half of what the short hold allows.
  const standStill = (): void => {
    still = true;
  };
  closing.push(() => clearInterval(talk));
  const startGauge = async (): Promise<void> => {
    const gauge = quickGauge(options);
    await gauge.open();
    const { oilDecimals: _none, ...shape } = { ...plainShape, decimals: 2, width: 8 };
    void speak(gauge.items(), pair, { shape, baud: 115_200 }).catch(() => undefined);
    closing.push(() => gauge.close());
  };
  return { folder, job, shopFile, cable, standStill, startGauge };
}

describe('an oil probe that nobody has told of', () => {
  it('is added by confirming, named in a job, and its temperature takes part in the test', async () => {
    const { folder, job, shopFile, cable, standStill, startGauge } = await benchWithProbe();
    const command = commandLine('gauge', 'add', '--shop', folder, '--path', cable.path);
    const terminal = new TmuxTerminal({ columns: 110, rows: 50 }, command);
    closing.push(() => terminal.close());
    const shown = await terminal.shows('Does the display of the probe, or a thermometer beside it, show the same?');
    expect(shown).toMatch(/"T=104\.[56] degF" +oil 104\.[56] °F/);
    terminal.keys('y', 'Enter');
    for (const [asked, answer] of [
      ['Serial number on the probe', 'OT-12'],
      ['Range, for example', ''],
      ['Accuracy, for example', '0.2 K'],
      ['Write this into', 'y'],
    ] as const) {
      await terminal.shows(asked);
      terminal.type(answer);
      terminal.keys('Enter');
    }
    await terminal.shows('left with 0');
    terminal.close();
    const [probe] = readShop(shopFile).probes;
    expect(probe?.settings).toMatchObject({ pattern: 'T={oil} {oil_unit}', oil_unit: 'F', path: cable.path });

    writeFileSync(job, readFileSync(job, 'utf8').replace('units = "bar"', 'units = "bar"\noil_probe = "OT-12"'));
    standStill();
    const args = ['test', job, '--unattended', '--json', '--technician', 'Marek Dunn', '--shop', folder];
    const { child, said } = startProgram(args);
    const left = new Promise<number | null>((resolve) => child.on('close', resolve));
    await until('the test has begun', () => /^T-\d{4}-\d{4}: /m.test(said()) || child.exitCode !== null);
    await startGauge();
    expect(await left, said()).toBe(0);
    withStore(folder, (store) => {
      const test = store.tests()[0]?.test ?? '';
      const { header, result } = store.test(test);
      expect(header.plan.oilProbe).toEqual(probe?.spec);
      expect(result?.ports[0]?.stages[0]?.temperatureCorrected).toBe(true);
      const oil = [...store.trace(test)].map(({ oilK }) => oilK).filter((oilK) => oilK !== null);
      expect(oil.length).toBeGreaterThan(100);
      expect(new Set(oil)).toEqual(new Set([313.428]));
    });
    const recalled = await runProgram(['recall', '--gauge', 'OT-12', '--json', '--shop', folder]);
    expect(recalled.said).toMatch(/T-\d{4}-0001/);
  });
});
