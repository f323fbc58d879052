import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { readShop } from '../../src/bench/index.js';
import { checksumText, type Reading } from '../../src/gauge/index.js';
import { openStore } from '../../src/record/index.js';
import { commandLine, runProgram, TmuxTerminal } from '../bench-live/bench-process.js';
import { floatWords, type ModbusMap, modbusDeviceOnCable } from '../drivers/modbus-server.js';
import { Cable } from '../drivers/pty.js';
import { type LineCase, lineCases } from '../gauge/detection/line-cases.js';

const closing: (() => unknown)[] = [];
afterAll(async () => {
  for (const close of closing.reverse()) await close();
});

function makeShop(): string {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-set-up-'));
  closing.push(() => rmSync(folder, { recursive: true, force: true }));
  writeFileSync(path.join(folder, 'dwellmark.toml'), 'name = "Harrow Fell Hydraulics"\ndatabase = "record.db"\n');
  openStore(path.join(folder, 'record.db'), { mode: 'write' }).close();
  return folder;
}

async function layCable(): Promise<Cable> {
  const cable = await Cable.lay();
  closing.push(() => cable.unplug());
  return cable;
}

const facts = ['--serial', 'SN 1', '--range', '0..400 bar', '--accuracy', '0.25 %FS'];

/** `gauge add` on a terminal. */
function add(folder: string, ...args: readonly string[]): TmuxTerminal {
  const terminal = new TmuxTerminal({ columns: 110, rows: 60 }, commandLine('gauge', 'add', '--shop', folder, ...args));
  closing.push(() => terminal.close());
  return terminal;
}

/** What `gauge read` reads of it afterwards. */
async function readBack(folder: string, count: number): Promise<readonly Reading[]> {
  const { said } = await runProgram(['gauge', 'read', 'SN 1', '--shop', folder, '--count', String(count), '--json']);
  return (JSON.parse(said.slice(said.indexOf('{\n'))) as { readings: Reading[] }).readings;
}

const settingsOf = (folder: string) => readShop(path.join(folder, 'dwellmark.toml')).gauges[0]?.settings;

async function confirm(terminal: TmuxTerminal): Promise<void> {
  await terminal.shows('Does the display of the gauge show the same?');
  terminal.keys('y', 'Enter');
}

async function write(terminal: TmuxTerminal): Promise<string> {
  await terminal.shows('Write this into');
  terminal.keys('y', 'Enter');
  return terminal.shows('left with 0');
}

const [below, above] = [-0.4, 253.7];
const values = [below, 12.3, 99.9, above, 100.1];

/** Adds a talking gauge of that shape by confirming, and reads it back. */
async function talkedThrough(shape: LineCase): Promise<readonly Reading[]> {
  const folder = makeShop();
  const cable = await layCable();
  let index = 0;
  const talk = setInterval(() => {
    const value = values[index % values.length] ?? 0;
    void cable.send(`${shape.line(value.toFixed(1), '21.5', index % 60)}\r\n`).catch(() => undefined);
    index += 1;
  }, 25);
  closing.push(() => clearInterval(talk));
  const range = `-1..10000 ${shape.unit}`;
  const named = ['--serial', 'SN 1', '--range', range, '--accuracy', '0.25 %FS', '--resolution', `0.1 ${shape.unit}`];
  const terminal = add(folder, '--path', cable.path, ...named);
  if (shape.unitSeen === false) {
    await terminal.shows('Unit on the display of the gauge [bar]');
    terminal.keys('Enter');
  }
  await confirm(terminal);
  await write(terminal);
  terminal.close();
  const readings = await readBack(folder, 12);
  clearInterval(talk);
  return readings;
}

describe('an unknown gauge that talks is set up on a terminal with nothing but confirming', () => {
  // Two at a time: with five terminals at once the talkers of this process fall silent on a busy machine.
  const groups = Array.from({ length: Math.ceil(lineCases.length / 2) }, (_, i) => lineCases.slice(2 * i, 2 * i + 2));
  it.each(groups.map((group) => [group.map(({ name }) => name).join('; '), group] as const))('%s', async (_, group) => {
    const read = await Promise.all(group.map(async (shape) => ({ shape, readings: await talkedThrough(shape) })));
    for (const { shape, readings } of read) {
      const { name, factor, oil } = shape;
      const expected = values.map((value) => Math.round(value * factor));
      const seen = new Set(readings.map(({ pressurePa }) => pressurePa));
      expect({ name, seen: [...seen].sort() }).toEqual({ name, seen: [...new Set(expected)].sort() });
      expect([...seen].some((pa) => (pa ?? 0) < 0)).toBe(true);
      const oilK = oil === undefined ? null : oil === 'C' ? 294.65 : 267.317;
      expect({ name, oil: new Set(readings.map((one) => one.oilK)) }).toEqual({ name, oil: new Set([oilK]) });
    }
  });
});

describe('a bare number that could be a pressure or a temperature', () => {
  it.each([
    { unit: 'psi', kind: 'gauges', shows: /"21" +21 psi/, settings: { pattern: '{pressure}', unit: 'psi' } },
    { unit: 'C', kind: 'probes', shows: /"21" +oil 21 °C/, settings: { pattern: '{oil}', oil_unit: 'C' } },
  ] as const)('is asked about, and $unit tells', async ({ unit, kind, shows, settings }) => {
    const folder = makeShop();
    const cable = await layCable();
    const talk = setInterval(() => void cable.send('21\r\n').catch(() => undefined), 25);
    closing.push(() => clearInterval(talk));
    const terminal = add(folder, '--path', cable.path, '--serial', 'SN 1');
    const asked = await terminal.shows('Unit on its display');
    expect(asked).toMatch(
      /The lines carry no unit, and do not tell whether they are a pressure or an oil temperature\./,
    );
    terminal.keys('Enter');
    await terminal.shows('"" is not a unit a gauge is read in');
    terminal.type(unit);
    terminal.keys('Enter');
    expect(await terminal.shows('show the same?')).toMatch(shows);
    terminal.keys('y', 'Enter');
    const facts = kind === 'gauges' ? ['0..6000 psi', '1 psi', '0.25 %FS'] : ['', ''];
    const questions = kind === 'gauges' ? ['Range,', 'Resolution,', 'Accuracy,'] : ['Range,', 'Accuracy,'];
    for (const [index, question] of questions.entries()) {
      await terminal.shows(question);
      if (facts[index]) terminal.type(facts[index]);
      terminal.keys('Enter');
    }
    await write(terminal);
    terminal.close();
    clearInterval(talk);
    expect(readShop(path.join(folder, 'dwellmark.toml'))[kind][0]?.settings).toMatchObject(settings);
  });
});

async function modbusDevice(map: () => ModbusMap, functions: readonly (3 | 4)[]): Promise<Cable> {
  const { cable, close } = await modbusDeviceOnCable(map, functions);
  closing.push(close);
  return cable;
}

describe('a gauge on Modbus', () => {
  it('shows word orders and offsets live, marks those that could be, reads oil and status in the same request', async () => {
    let pressure = 253.7;
    // Words swapped, counted from 1 in the manual: register 11 there is 10 on the wire.
    const map = (): ModbusMap => {
      const [high, low] = floatWords(pressure);
      return new Map([
        [9, 3],
        [10, low],
        [11, high],
        [12, 215],
        [13, 0],
      ]);
    };
    const folder = makeShop();
    const cable = await modbusDevice(map, [4]);
    const terminal = add(folder, '--path', cable.path, '--driver', 'modbus-rtu', ...facts);
    for (const [asked, answer] of [
      ['Modbus address [1]', '7'],
      ['Register of the pressure, as in the manual [0]', '11'],
      ['Type of the value', ''],
    ] as const) {
      await terminal.shows(asked);
      if (answer !== '') terminal.type(answer);
      terminal.keys('Enter');
    }
    const table = await terminal.shows('Number [1]');
    expect(table).toMatch(/It answers, function 4/);
    expect(
      table.split('\n').filter((row) => /^ {2}[1-8] {2}register 11, counted from [01] +[ABCD]{4} /.test(row)),
    ).toHaveLength(8);
    expect(table).toMatch(/6 {2}register 11, counted from 1 +CDAB +253\.7 bar {2}<- could be/);
    // The high word with the next register behind it looks like a pressure too: only the display can tell.
    expect(table).toMatch(/1 {2}register 11, counted from 0 +ABCD +253\.0033 bar {2}<- could be/);
    expect(table.match(/<- could be/g)).toHaveLength(2);
    pressure = 199.25;
    await terminal.shows(/CDAB +199\.25 bar/);
    terminal.keys('6', 'Enter');
    for (const [asked, answer] of [
      ['Register of the oil temperature', '13'],
      ['Its type [float32]', 'int16'],
      ['Its scale [1]', '0.1'],
      ['Register of a status', '14'],
      ['Number that means well [0]', ''],
    ] as const) {
      await terminal.shows(asked);
      if (answer !== '') terminal.type(answer);
      terminal.keys('Enter');
    }
    const trial = await terminal.shows('Does the display of the gauge show the same?');
    expect(trial).toMatch(/"07 04 .*199\.250 bar, oil 21\.5 °C/);
    terminal.keys('y', 'Enter');
    await terminal.shows('Resolution');
    terminal.type('0.01 bar');
    terminal.keys('Enter');
    const over = await write(terminal);
    expect(over).toMatch(/Gauge SN 1 is in .* and in the ledger/);
    terminal.close();
    expect(settingsOf(folder)).toMatchObject({
      baud_rate: 19_200,
      parity: 'even',
      address: 7,
      function: 4,
      first_register: 1,
      pressure: { register: 11, type: 'float32', word_order: 'CDAB', scale: 1 },
      oil: { register: 13, type: 'int16', word_order: 'CDAB', scale: 0.1 },
      status: { register: 14, good: [0] },
    });
    const readings = await readBack(folder, 3);
    expect(readings.map(({ pressurePa, oilK, flags }) => [pressurePa, oilK, flags])).toEqual(
      Array.from({ length: 3 }, () => [19_925_000, 294.65, 0]),
    );
  });

  it('an int16 in tenths, with everything said beforehand and nobody asked', async () => {
    const folder = makeShop();
    const cable = await modbusDevice(() => new Map([[0, 2537]]), [3]);
    const said = await runProgram([
      ...['gauge', 'add', '--shop', folder, '--path', cable.path, '--driver', 'modbus-rtu', '--yes', '--address', '7'],
      ...['--type', 'int16', '--scale', '0.1', ...facts],
    ]);
    expect(said).toMatchObject({ code: 0 });
    expect(settingsOf(folder)).toMatchObject({
      function: 3,
      first_register: 0,
      pressure: { register: 0, type: 'int16' },
    });
    expect((await readBack(folder, 2)).map(({ pressurePa }) => pressurePa)).toEqual([25_370_000, 25_370_000]);
  });

  it('nobody to ask and a value that fits no order, or nothing there: said in three lines, nothing written', async () => {
    const folder = makeShop();
    const cable = await modbusDevice(
      () =>
        new Map([
          [0, 0],
          [1, 0],
          [2, 0],
        ]),
      [3],
    );
    const args = [
      'gauge',
      'add',
      '--shop',
      folder,
      '--path',
      cable.path,
      '--driver',
      'modbus-rtu',
      '--yes',
      '--baud',
      '19200',
    ];
    const zero = await runProgram([...args, '--address', '7', ...facts, '--resolution', '0.1 bar']);
    expect(zero.code).toBe(2);
    expect(zero.said).toMatch(/the word order does not show by itself/);
    const nobody = await runProgram([...args, '--address', '9', ...facts]);
    expect(nobody.code).toBe(5);
    expect(nobody.said).toMatch(/nothing answers at address 9/);
    expect(settingsOf(folder)).toBeUndefined();
  });
});

/** A device that answers `#01R` and its XOR and a carriage return, and nothing else, with a line and its XOR. */
async function textDevice(): Promise<Cable> {
  const cable = await layCable();
  let heard = '';
  const asked = `#01R${checksumText('xor', Buffer.from('#01R'))}\r`;
  cable.onBytes((bytes) => {
    heard = (heard + bytes.toString('latin1')).slice(-64);
    if (!heard.endsWith(asked)) return;
    heard = '';
    const body = '01+0253.7 bar 21.5 C ';
    void cable.send(`${body}${checksumText('xor', Buffer.from(body))}\r`).catch(() => undefined);
  });
  return cable;
}

describe('a gauge that answers a text command', () => {
  it('is listened to, then asked: end and checksum of the command are found, the answer is read', async () => {
    const folder = makeShop();
    const cable = await textDevice();
    const terminal = add(folder, '--path', cable.path, '--baud', '9600', ...facts);
    await terminal.shows('How is it read?');
    terminal.keys('1', 'Enter');
    await terminal.shows('Command that asks for a reading');
    terminal.type('#{address}R{checksum}');
    terminal.keys('Enter');
    await terminal.shows('Address set on the gauge [01]');
    terminal.keys('Enter');
    const trial = await terminal.shows('Does the display of the gauge show the same?');
    expect(trial).toMatch(/253\.7 bar, oil 21\.5 °C/);
    terminal.keys('y', 'Enter');
    await terminal.shows('Resolution');
    terminal.keys('Enter');
    await write(terminal);
    terminal.close();
    expect(settingsOf(folder)).toMatchObject({
      request: '#{address}R{checksum}\r',
      address: '01',
      request_checksum: 'xor',
      terminator: '\r',
      checksum: 'xor',
    });
    const [reading] = await readBack(folder, 2);
    expect(reading).toMatchObject({ pressurePa: 25_370_000, oilK: 294.65 });
  });
});
