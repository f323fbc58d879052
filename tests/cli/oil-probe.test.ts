import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { readShop } from '../../src/bench/index.js';
import { openStore } from '../../src/record/index.js';
import { dwellmark } from './command-line.js';
import { talkingShop } from './talking-shop.js';

const { shop, shopFile, cable, talking, add } = talkingShop();

describe('an oil temperature probe of its own', () => {
  const probeLine = (index: number): string => `01 ${(38.25 + (index % 3) / 100).toFixed(2)} C\r\n`;

  it('is added as a probe: nothing but its serial must be known of it', async () => {
    talking(probeLine);
    const said = await add('--serial', 'OT-12', '--yes');
    expect(said.err).toMatch(/No pressure stands in the lines: it is read as an oil temperature probe\./);
    expect(said.err.match(/^ {2}"01 38\.2[567] C" +oil 38\.2[567]\u00a0°C$/gm)).toHaveLength(10);
    expect(said.out).toMatch(/^Oil probe OT-12 is in .*\nA job has it measured along with oil_probe = "OT-12"\.\n/);
    expect(said.code).toBe(0);
    const [probe] = readShop(shopFile()).probes;
    expect(probe).toMatchObject({ driver: 'ascii-stream', simulated: false });
    expect(probe?.spec).toEqual({ serial: 'OT-12', resolutionK: expect.closeTo(0.01, 9) });
    expect(probe?.settings).toMatchObject({ pattern: '01 {oil} {oil_unit}', oil_unit: 'C' });
    expect(readShop(shopFile()).gauges.map(({ spec }) => spec.serial)).not.toContain('OT-12');
    const store = openStore(path.join(shop(), 'record.db'), { mode: 'read' });
    expect(store.acts('gauge entered', { subject: 'OT-12' }).map(({ body }) => body.probe)).toEqual([probe?.spec]);
    store.close();
  });

  it('is not added twice, nor as a gauge', async () => {
    const said = await add('--serial', 'OT-12', '--yes');
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toMatch(/OT-12 is in the shop file already/);
  });

  it('is read, listed and shown', async () => {
    talking(probeLine, 20);
    const text = readFileSync(shopFile(), 'utf8');
    const at = text.indexOf('[[probe]]');
    writeFileSync(shopFile(), text.slice(0, at) + text.slice(at).replace(/path = ".*"/, `path = "${cable().path}"`));
    const said = await dwellmark('gauge', 'read', 'OT-12', '--shop', shop(), '--count', '12');
    const lines = said.out.trimEnd().split('\n');
    for (const line of lines.slice(0, 12)) expect(line).toMatch(/^ +\d+\.\d{3} s {2}oil 38\.2[567]\u00a0°C$/);
    expect(lines[12]).toMatch(/^12 readings; rate [\d.]+ a second; jitter [\d.]+ ms$/);
    const json = await dwellmark('gauge', 'read', 'OT-12', '--shop', shop(), '--count', '3', '--json');
    expect(JSON.parse(json.out)).toMatchObject({ gauge: 'OT-12', seen: { readings: 3, withoutValue: 0 } });
    expect((await dwellmark('gauge', 'list', '--shop', shop())).out).toMatch(/gauge OT-12: oil probe, ascii-stream on/);
    expect((await dwellmark('gauge', 'show', 'OT-12', '--shop', shop())).out).toMatch(/^Gauge OT-12\n {2}oil probe\n/);
  });

  it('with a pattern that says so, though the lines carry no unit', async () => {
    talking((index) => `${(38.25 + (index % 3) / 100).toFixed(2)}\r\n`);
    const args = ['--path', cable().path, '--serial', 'OT-13', '--pattern', '{oil}', '--accuracy', '0.2 K', '--yes'];
    const said = await dwellmark('gauge', 'add', '--shop', shop(), ...args);
    expect(said).toMatchObject({ code: 0 });
    expect(said.err.match(/oil 38\.2[567]\u00a0°C$/gm)).toHaveLength(10);
    const probe = readShop(shopFile()).probes.find(({ spec }) => spec.serial === 'OT-13');
    expect(probe?.spec).toMatchObject({ accuracyK: expect.closeTo(0.2, 9), resolutionK: expect.closeTo(0.01, 9) });
  });
});

describe('a bare number is what its unit says', () => {
  it.each([
    { args: ['--unit', 'F'], kind: 'probes', settings: { pattern: '{oil}', oil_unit: 'F' } },
    { args: ['--range', '0..100 C'], kind: 'probes', settings: { pattern: '{oil}', oil_unit: 'C' } },
    {
      args: ['--unit', 'psi', '--range', '0..6000 psi', '--accuracy', '0.25 %FS'],
      kind: 'gauges',
      settings: { pattern: '{pressure}', unit: 'psi' },
    },
  ] as const)('$args', async ({ args, kind, settings }) => {
    talking((index) => `${21 + (index % 2)}\r\n`);
    const serial = `BN ${args[1]}`;
    const named = ['--path', cable().path, '--serial', serial, ...args, '--yes'];
    const said = await dwellmark('gauge', 'add', '--shop', shop(), ...named);
    expect(said, said.err).toMatchObject({ code: 0 });
    expect(readShop(shopFile())[kind].find(({ spec }) => spec.serial === serial)?.settings).toMatchObject(settings);
  });
});

describe('what the lines do not tell is not guessed', () => {
  it.each<{ what: string; line: (index: number) => string; says: RegExp }>([
    {
      what: 'a number without a unit',
      line: (i) => `${21 + (i % 2)}\r\n`,
      says: /the lines carry no unit, and do not tell whether they are a pressure or an oil temperature\n.*--unit: bar/,
    },
    {
      what: 'a whole number beside a temperature',
      line: (i) => `0 ${21 + (i % 2)}.5 C\r\n`,
      says: /an address, or the pressure of a vented gauge\n.*--unit: bar/,
    },
  ])('--yes and $what: neither a gauge nor a probe is guessed, and nothing is written', async ({ line, says }) => {
    talking(line);
    const before = readFileSync(shopFile(), 'utf8');
    const said = await add('--serial', 'X-1', '--yes');
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toMatch(says);
    expect(readFileSync(shopFile(), 'utf8')).toBe(before);
  });

  it('a temperature that was said, and a pressure in the lines: nothing is written', async () => {
    talking((index) => `P=${250 - index}.0 bar\r\n`);
    const args = ['--path', cable().path, '--serial', 'X-1', '--unit', 'C', '--yes'];
    const said = await dwellmark('gauge', 'add', '--shop', shop(), ...args);
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toMatch(/a pressure stands in the lines, but a temperature was said/);
  });
});
