import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { openPtyPair, plainShape, speak } from '../../drivers/simulated/index.js';
import { readShop } from '../../src/bench/index.js';
import type { Reading } from '../../src/gauge/index.js';
import { commandLine, runProgram, startProgram, TmuxTerminal, until, withStore } from '../bench-live/bench-process.js';
import { quickGauge, writeQuickShop } from '../bench-live/quick-bench.js';
import { floatWords, type ModbusMap, modbusDeviceOnCable } from '../drivers/modbus-server.js';

const closing: (() => unknown)[] = [];
afterAll(async () => {
  for (const close of closing.reverse()) await close();
});

const options = { dwellS: 5, attended: false, ports: ['A'] } as const;

/** A shop whose gauge gives pressure alone, and an oil probe on Modbus that nobody has told it of. */
async function benchWithProbe(map: () => ModbusMap, functions: readonly (3 | 4)[] = [4]) {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-modbus-probe-'));
  closing.push(() => rmSync(folder, { recursive: true, force: true }));
  const pair = await openPtyPair();
  const { cable, close } = await modbusDeviceOnCable(map, functions);
  closing.push(() => pair.close(), close);
  const job = writeQuickShop(folder, pair.path, options);
  const shopFile = path.join(folder, 'dwellmark.toml');
  writeFileSync(shopFile, readFileSync(shopFile, 'utf8').replace(' {oil} {oil_unit}', ''));
  return { folder, job, shopFile, pair, port: cable.path };
}

type Bench = Awaited<ReturnType<typeof benchWithProbe>>;

/** The gauge of the bench begins to talk. */
async function startGauge({ pair }: Bench): Promise<void> {
  const gauge = quickGauge(options);
  await gauge.open();
  const { oilDecimals: _none, ...shape } = { ...plainShape, decimals: 2, width: 8 };
  void speak(gauge.items(), pair, { shape, baud: 115_200 }).catch(() => undefined);
  closing.push(() => gauge.close());
}

async function readBack(folder: string, serial: string): Promise<readonly Reading[]> {
  const { said } = await runProgram(['gauge', 'read', serial, '--shop', folder, '--count', '3', '--json']);
  return (JSON.parse(said.slice(said.indexOf('{\n'))) as { readings: Reading[] }).readings;
}

const probeOf = ({ shopFile }: Bench) => readShop(shopFile).probes[0];

describe('an oil probe on Modbus: a register that is a temperature, and no pressure at all', () => {
  it('is added by picking what its display shows, read, and takes part in a test', async () => {
    let degrees = 38.4;
    // Words swapped, counted from 1 in the manual: register 101 there is 100 on the wire.
    const bench = await benchWithProbe(() => {
      const [high, low] = floatWords(degrees);
      return new Map([
        [99, 3],
        [100, low],
        [101, high],
        [102, 0],
      ]);
    });
    const { folder, job, port } = bench;
    const command = commandLine('gauge', 'add', '--shop', folder, '--path', port, '--driver', 'modbus-rtu');
    const terminal = new TmuxTerminal({ columns: 120, rows: 60 }, command);
    closing.push(() => terminal.close());
    const answer = async (asked: string, typed: string): Promise<void> => {
      await terminal.shows(asked);
      if (typed !== '') terminal.type(typed);
      terminal.keys('Enter');
    };
    await answer('of an oil probe "-20..120 C", or its unit alone', '0..100 C');
    await answer('Modbus address [1]', '7');
    await answer('Register of the oil temperature, as in the manual [0]', '101');
    await answer('Type of the value', '');
    const table = await terminal.shows('Number [6]');
    expect(table).toMatch(/Which one does the display of the probe, or a thermometer beside it, show\?/);
    expect(table).toMatch(/6 {2}register 101, counted from 1 +CDAB +38\.4 °C {2}<- could be/);
    degrees = 41.3;
    await terminal.shows(/CDAB +41\.3 °C/);
    await answer('Number [6]', '');
    await answer('Register of a status', '103');
    await answer('Number that means well [0]', '');
    const trial = await terminal.shows('Does the display of the probe, or a thermometer beside it, show the same?');
    expect(trial).toMatch(/"07 04 .* oil 41\.30 °C/);
    await answer('show the same?', 'y');
    await answer('Serial number on the probe', 'OT-31');
    await answer('Accuracy, for example', '0.2 K');
    await answer('Write this into', 'y');
    await terminal.shows('left with 0');
    terminal.close();
    expect(probeOf(bench)).toMatchObject({
      driver: 'modbus-rtu',
      spec: { serial: 'OT-31', rangeLowK: 273.15, rangeHighK: 373.15 },
      settings: {
        ...{ baud_rate: 19_200, parity: 'even', address: 7, function: 4, first_register: 1, oil_unit: 'C' },
        oil: { register: 101, type: 'float32', word_order: 'CDAB', scale: 1 },
        status: { register: 103, good: [0] },
      },
    });
    expect(Object.keys(probeOf(bench)?.settings ?? {})).not.toContain('unit');
    expect((await readBack(folder, 'OT-31')).map(({ pressurePa, oilK, flags }) => [pressurePa, oilK, flags])).toEqual(
      Array.from({ length: 3 }, () => [null, 314.45, 0]),
    );

    writeFileSync(job, readFileSync(job, 'utf8').replace('units = "bar"', 'units = "bar"\noil_probe = "OT-31"'));
    const args = ['test', job, '--unattended', '--json', '--technician', 'Marek Dunn', '--shop', folder];
    const { child, said } = startProgram(args);
    const left = new Promise<number | null>((resolve) => child.on('close', resolve));
    await until('the test has begun', () => /^T-\d{4}-\d{4}: /m.test(said()) || child.exitCode !== null);
    await startGauge(bench);
    expect(await left, said()).toBe(0);
    withStore(folder, (store) => {
      const test = store.tests()[0]?.test ?? '';
      const { header, result } = store.test(test);
      expect(header.plan.oilProbe).toEqual(probeOf(bench)?.spec);
      expect(result?.ports[0]?.stages[0]?.temperatureCorrected).toBe(true);
      const oil = [...store.trace(test)].map(({ oilK }) => oilK).filter((oilK) => oilK !== null);
      expect(oil.length).toBeGreaterThan(100);
      expect(new Set(oil)).toEqual(new Set([314.45]));
    });
  });

  it.each<{ what: string; words: readonly number[]; args: readonly string[]; oilK: number; resolutionK?: number }>([
    {
      what: 'tenths of a degree Celsius, known by the unit',
      words: [2, 384],
      args: ['--unit', 'C', '--register', '1', '--type', 'int16', '--scale', '0.1', '--first-register', '0'],
      oilK: 311.55,
      resolutionK: 0.1,
    },
    {
      what: 'hundredths of a kelvin that fit in one order alone, known by the range',
      words: [0xffff, 31_155],
      args: ['--range', '253..393 K', '--register', '1', '--type', 'uint16', '--scale', '0.01'],
      oilK: 311.55,
      resolutionK: 0.01,
    },
    {
      what: 'a float in degrees Fahrenheit, by the options of an oil register',
      words: floatWords(101.12),
      args: ['--unit', 'F', '--oil-register', '0', '--oil-type', 'float32', '--word-order', 'ABCD'],
      oilK: 311.55,
    },
  ])('with --yes: $what', async ({ words, args, oilK, resolutionK }) => {
    const bench = await benchWithProbe(() => new Map(words.map((word, at) => [at, word])), [3]);
    const common = ['--shop', bench.folder, '--path', bench.port, '--driver', 'modbus-rtu', '--address', '7', '--yes'];
    const said = await runProgram(['gauge', 'add', ...common, '--serial', 'OT-32', ...args]);
    expect(said, said.said).toMatchObject({ code: 0 });
    const spec = probeOf(bench)?.spec;
    expect(spec?.resolutionK).toEqual(resolutionK === undefined ? undefined : expect.closeTo(resolutionK, 9));
    for (const reading of await readBack(bench.folder, 'OT-32')) expect(reading.oilK).toBeCloseTo(oilK, 3);
  });

  it('a range of pressures and a unit of temperature do not belong together: said before anything is asked', async () => {
    const bench = await benchWithProbe(() => new Map([[0, 384]]), [3]);
    const before = readFileSync(bench.shopFile, 'utf8');
    const args = ['--driver', 'modbus-rtu', '--unit', 'C', '--range', '0..400 bar', '--serial', 'OT-33', '--yes'];
    const said = await runProgram(['gauge', 'add', '--shop', bench.folder, '--path', bench.port, ...args]);
    expect(said.code).toBe(2);
    expect(said.said).toMatch(/the range "0\.\.400 bar" and the unit "C" do not belong together/);
    expect(said.said).not.toMatch(/asking at/);
    expect(readFileSync(bench.shopFile, 'utf8')).toBe(before);
  });
});
