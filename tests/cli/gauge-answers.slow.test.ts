import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { readShop } from '../../src/bench/index.js';
import { openStore } from '../../src/record/index.js';
import { commandLine, TmuxTerminal } from '../bench-live/bench-process.js';
import { Cable } from '../drivers/pty.js';

const closing: (() => unknown)[] = [];
afterAll(async () => {
  for (const close of closing.reverse()) await close();
});

/** A shop with one gauge, and on a cable another one that talks. */
async function shopAndGauge(everyMs = 50) {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-answers-'));
  closing.push(() => rmSync(folder, { recursive: true, force: true }));
  const shopFile = path.join(folder, 'dwellmark.toml');
  writeFileSync(
    shopFile,
    `name = "Harrow Fell Hydraulics"
[[gauge]]
serial = "SN 1"
range = "0..400 bar"
resolution = "0.1 bar"
accuracy = "0.25 %FS"
`,
  );
  openStore(path.join(folder, 'record.db'), { mode: 'write' }).close();
  const cable = await Cable.lay();
  closing.push(() => cable.unplug());
  let index = 0;
  const talk = setInterval(() => void cable.send(`${(250 - (index++ % 5) / 10).toFixed(1)} bar\r\n`), everyMs);
  closing.push(() => clearInterval(talk));
  return { folder, shopFile, port: cable.path, unplug: () => cable.unplug() };
}

/** A gauge command on a terminal. */
function onTerminal(...args: readonly string[]): TmuxTerminal {
  const terminal = new TmuxTerminal({ columns: 110, rows: 60 }, commandLine('gauge', ...args));
  closing.push(() => terminal.close());
  return terminal;
}

/** Waits for each question, or word, and types the answer. */
async function answer(terminal: TmuxTerminal, ...answers: readonly (readonly [RegExp, string])[]): Promise<void> {
  for (const [asked, typed] of answers) {
    await terminal.shows(asked);
    terminal.type(typed);
    terminal.keys('Enter');
  }
}

describe('an answer that can not be is asked again, and nothing is lost by it', () => {
  it('when a gauge is added', async () => {
    const { folder, shopFile, port } = await shopAndGauge();
    const terminal = onTerminal('add', '--shop', folder, '--path', port);
    await answer(
      terminal,
      [/show the same\? \(y\/n\):/, 'perhaps'],
      [/Type y for yes or n for no\.\n.*show the same\? \(y\/n\):/, 'y'],
      [/Serial number on the gauge:/, ''],
      [/a gauge is known by its serial number.*\n.*Serial number on the gauge:/, 'SN 1'],
      [/SN 1 is in the shop file already[^:]*Serial number on the gauge:/, 'SN 2'],
      [/Range, for example/, 'about 400'],
      [/"about 400" is not a range[^:]*:/, '0-400 bar'],
      [/Resolution, one step of its last digit \[0\.1 bar\]:/, '0.1 psi'],
      [/a gauge shows one unit[^:]*\[0\.1 bar\]:/, ''],
      [/Accuracy, for example/, '0.25%'],
      [/does not say of what the percentage is[^:]*:/, '0.25 %FS'],
      [/Write this into/, 'y'],
    );
    await terminal.shows('left with 0');
    const added = readShop(shopFile).gauges.find(({ spec }) => spec.serial === 'SN 2');
    expect(added?.spec).toMatchObject({ rangeHighPa: 400e5, resolutionPa: 10_000, accuracyOfSpan: 0.0025 });
  });

  it('when it is on Modbus', async () => {
    const { folder, port } = await shopAndGauge();
    const terminal = onTerminal('add', '--shop', folder, '--path', port, '--driver', 'modbus-rtu');
    await answer(
      terminal,
      [/Range, for example/, '0..400 bar'],
      [/Modbus address \[1\]:/, 'abc'],
      [/"abc" is no whole number from 1 to 247[^[]*\[1\]:/, '999'],
      [/"999" is no whole number from 1 to 247[^[]*\[1\]:/, ''],
      [/Register of the pressure, as in the manual \[0\]:/, '70000'],
      [/"70000" is no whole number from 0 to 65535[^[]*\[0\]:/, ''],
      [/Type of the value/, 'float'],
    );
    await terminal.shows(/"float" is no type of a value\. Known: float32/);
  });

  it('when a calibration is entered', async () => {
    const { folder } = await shopAndGauge();
    const terminal = onTerminal('calibrate', 'SN 1', '--shop', folder, '--laboratory', 'Brackwater Metrology');
    await answer(
      terminal,
      [/Number of the certificate:/, ''],
      [/it is empty.*\n.*Number of the certificate:/, 'CAL-0311'],
      [/Date of the calibration, year-month-day:/, '14.03.2026'],
      [/"14\.03\.2026" is not a date[^:]*Date of the calibration, year-month-day:/, '2026-03-14'],
      [/Last day it is good for:/, '2025-03-14'],
      [/before it was made[^:]*Last day it is good for:/, '2027-03-14'],
    );
    await terminal.shows('CAL-0311 of gauge SN 1 is entered, due 2027-03-14.');
  });

  it.each(['C-c', 'C-d'])('%s leaves in plain words, and nothing is written', async (key) => {
    const { folder, shopFile, port } = await shopAndGauge();
    const before = readFileSync(shopFile, 'utf8');
    const terminal = onTerminal('add', '--shop', folder, '--path', port);
    await terminal.shows('show the same? (y/n):');
    terminal.keys(key);
    const screen = await terminal.shows('left with 2');
    expect(screen).toMatch(
      /^dwellmark: left at a question\n {2}Nothing was done about it; run it again when you like\./m,
    );
    expect(screen).not.toContain('something went wrong');
    expect(readFileSync(shopFile, 'utf8')).toBe(before);
  });
});

describe('the plug pulled', () => {
  it.each<{ during: string; args: (port: string) => readonly string[] }>([
    { during: 'the ten readings before it is added', args: (port) => ['add', '--path', port] },
    { during: 'gauge read', args: () => ['read', 'SN 1'] },
  ])('during $during is told, in words, and it ends with the code of a gauge', async ({ args }) => {
    const { folder, shopFile, port, unplug } = await shopAndGauge(300);
    const line = `[gauge.line]\npath = "${port}"\npattern = "{pressure} {unit}"\nunit = "bar"\n`;
    writeFileSync(shopFile, readFileSync(shopFile, 'utf8') + line);
    const terminal = onTerminal(...args(port), '--shop', folder);
    await terminal.shows(/2(50\.0|49\.\d) bar/);
    await unplug();
    const screen = await terminal.shows('left with 5');
    expect(screen).toMatch(/the device at \S+ is gone: look at cable and power/);
    expect(screen).toMatch(/^dwellmark: gauge .* gave nothing for 5 s\n {2}Is it on, and does it send\?/m);
    expect(screen).not.toMatch(/\{[a-z]+:/);
  });
});
