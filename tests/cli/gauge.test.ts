import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { readShop } from '../../src/bench/index.js';
import { openStore } from '../../src/record/index.js';
import { Cable } from '../drivers/pty.js';
import { dwellmark } from './command-line.js';

let folder = '';
let cable: Cable;
let talk: NodeJS.Timeout | undefined;
const shopFile = (): string => path.join(folder, 'dwellmark.toml');

beforeAll(async () => {
  folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-gauge-'));
  writeFileSync(shopFile(), 'name = "Harrow Fell Hydraulics" # ours\ndatabase = "record.db"\n');
  openStore(path.join(folder, 'record.db'), { mode: 'write' }).close();
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeEach(async () => {
  cable = await Cable.lay();
});
afterEach(async () => {
  clearInterval(talk);
  await cable.unplug();
});

/** A gauge that talks by itself, its value falling by a step each time. */
function talking(lineAt: (index: number) => string, everyMs = 10): void {
  let index = 0;
  talk = setInterval(() => void cable.send(lineAt(index++)).catch(() => undefined), everyMs);
}

const barLine = (index: number): string => `P=${(250 - index / 10).toFixed(1)} bar; T=21.5 C\r\n`;
const facts = ['--serial', 'SN 40117', '--range', '0..400 bar', '--accuracy', '0.25 %FS'];

describe('an unknown gauge is added, read, calibrated and shown', () => {
  it('listens, shows ten readings beside the raw lines, and writes the table behind what stands there', async () => {
    talking(barLine);
    const before = readFileSync(shopFile(), 'utf8');
    const said = await dwellmark('gauge', 'add', '--shop', folder, '--path', cable.path, ...facts, '--yes');
    expect(said.err).toMatch(/listening at 9600 baud 8N1/);
    const shown = said.err.split('\n').filter((line) => line.startsWith('  "P='));
    expect(shown).toHaveLength(10);
    for (const line of shown) {
      const [, raw, read] = /^ {2}"P=([\d.]+) bar; T=21\.5 C" +([\d.]+)\u00a0bar, oil 21\.5\u00a0°C$/.exec(line) ?? [];
      expect(raw).toBeDefined();
      expect(read).toBe(raw);
    }
    expect(said.code).toBe(0);
    const after = readFileSync(shopFile(), 'utf8');
    expect(after.startsWith(`${before}\n[[gauge]]\n`)).toBe(true);
    const [gauge] = readShop(shopFile()).gauges;
    expect(gauge?.spec).toMatchObject({ serial: 'SN 40117', resolutionPa: 10_000, accuracyOfSpan: 0.0025 });
    expect(gauge?.settings).toMatchObject({ baud_rate: 9600, pattern: 'P={pressure} {unit}; T={oil} {oil_unit}' });
    const store = openStore(path.join(folder, 'record.db'), { mode: 'read' });
    expect(store.gauges().map(({ serial }) => serial)).toEqual(['SN 40117']);
    store.close();
  });

  it('is not added twice, and nothing is listened to then', async () => {
    const before = readFileSync(shopFile(), 'utf8');
    const said = await dwellmark('gauge', 'add', '--shop', folder, '--path', cable.path, ...facts, '--yes');
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toMatch(/SN 40117 is in the shop file already/);
    expect(readFileSync(shopFile(), 'utf8')).toBe(before);
  });

  it('reads it: a line a reading, then rate, jitter, noise and resolution as seen', async () => {
    talking((index) => `P=${(250 - (index % 3) / 10).toFixed(1)} bar; T=21.5 C\r\n`, 20);
    const text = readFileSync(shopFile(), 'utf8').replace(/path = ".*"/, `path = "${cable.path}"`);
    writeFileSync(shopFile(), text);
    const said = await dwellmark('gauge', 'read', 'SN 40117', '--shop', folder, '--count', '30');
    expect(said.code).toBe(0);
    const lines = said.out.trimEnd().split('\n');
    expect(lines).toHaveLength(31);
    for (const line of lines.slice(0, 30))
      expect(line).toMatch(/^ +\d+\.\d{3} s {2}2(?:50\.0|49\.[89])\u00a0bar, oil 21\.5/);
    expect(lines[30]).toMatch(/30 readings; rate \d+.* a second; jitter .* ms; noise 0\.\d+ bar; steps of 0\.10 bar/);
    const json = await dwellmark('gauge', 'read', 'SN 40117', '--shop', folder, '--count', '5', '--json');
    const { readings, seen } = JSON.parse(json.out) as { readings: unknown[]; seen: { readings: number } };
    expect([readings.length, seen.readings]).toEqual([5, 5]);
  });

  it('enters a calibration with its file; a second time it is refused; it is in force when the gauge is shown', async () => {
    const file = path.join(folder, 'cal-0311.pdf');
    writeFileSync(file, '%PDF-1.7\n% scanned\n');
    const calibrate = (...more: readonly string[]) =>
      dwellmark('gauge', 'calibrate', 'SN 40117', '--shop', folder, '--laboratory', 'Brackwater Metrology', ...more);
    const first = ['--certificate', 'CAL-0311', '--date', '2026-03-14', '--due', '2027-03-14'];
    const points = ['--correction', '200 bar=-0.2 bar', '--correction', '100 bar=-0.1 bar', '--uncertainty', '0.2 bar'];
    const said = await calibrate(...first, ...points, '--file', file);
    expect(said.err).toBe('');
    expect(said.code).toBe(0);
    expect(said.out).toMatch(/CAL-0311 of gauge SN 40117 is entered, due 2027-03-14\. Ledger line \d+/);
    expect((await calibrate(...first)).err).toMatch(/CAL-0311 of SN 40117 is entered already/);
    const store = openStore(path.join(folder, 'record.db'), { mode: 'read' });
    const [kept] = store.gauges()[0]?.calibrations ?? [];
    expect(kept?.corrections).toEqual([
      { atPa: 10_000_000, addPa: -10_000 },
      { atPa: 20_000_000, addPa: -20_000 },
    ]);
    expect(store.attachment(kept?.attachment ?? '')?.bytes).toEqual(readFileSync(file));
    store.close();
    const shown = await dwellmark('gauge', 'show', 'SN 40117', '--shop', folder);
    expect(shown.out).toMatch(
      /> {2}CAL-0311 +Brackwater Metrology +2026-03-14 +2027-03-14 +not stated +0\.20 bar +[0-9a-f]{12}/,
    );
    expect(shown.out).toMatch(/corrected by the table in force/);
    const listed = await dwellmark('gauge', 'list', '--shop', folder);
    expect(listed.out).toMatch(/gauge SN 40117: ascii-stream on .*, calibration due 2027-03-14/);
  });

  it.each<{ what: string; more: readonly string[]; says: RegExp }>([
    { what: 'a date that is none', more: ['--date', '2026-02-30', '--due', '2027-03-14'], says: /date.*2026-02-30/s },
    { what: 'due before it was made', more: ['--date', '2026-03-14', '--due', '2025-03-14'], says: /due/ },
    { what: 'of a day to come', more: ['--date', '2999-03-14', '--due', '2999-04-14'], says: /not been made yet/ },
    {
      what: 'a correction without a unit',
      more: ['--date', '2026-03-14', '--due', '2027-03-14', '--correction', '100=1'],
      says: /correction/,
    },
    {
      what: 'a file that is no certificate',
      more: ['--date', '2026-03-14', '--due', '2027-03-14', '--file', import.meta.filename],
      says: /no PDF/,
    },
  ])('a calibration with $what is refused and nothing is entered', async ({ more, says }) => {
    const said = await dwellmark(
      ...['gauge', 'calibrate', 'SN 40117', '--shop', folder, '--certificate', 'X-1', '--laboratory', 'L', ...more],
    );
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toMatch(says);
    expect(said.err.trimEnd().split('\n').length).toBeLessThanOrEqual(3);
    const store = openStore(path.join(folder, 'record.db'), { mode: 'read' });
    expect(store.gauges()[0]?.calibrations).toHaveLength(1);
    store.close();
  });
});

describe('an oil temperature probe of its own', () => {
  const probeLine = (index: number): string => `01 ${(38.25 + (index % 3) / 100).toFixed(2)} C\r\n`;

  it('is added as a probe: nothing but its serial must be known of it', async () => {
    talking(probeLine);
    const args = ['--path', cable.path, '--serial', 'OT-12', '--yes'];
    const said = await dwellmark('gauge', 'add', '--shop', folder, ...args);
    expect(said.err).toMatch(/No pressure stands in the lines: it is read as an oil temperature probe\./);
    expect(said.err.match(/^ {2}"01 38\.2[567] C" +oil 38\.2[567]\u00a0°C$/gm)).toHaveLength(10);
    expect(said.out).toMatch(/^Oil probe OT-12 is in .*\nA job has it measured along with oil_probe = "OT-12"\.\n/);
    expect(said.code).toBe(0);
    const [probe] = readShop(shopFile()).probes;
    expect(probe).toMatchObject({ driver: 'ascii-stream', simulated: false });
    expect(probe?.spec).toEqual({ serial: 'OT-12', resolutionK: expect.closeTo(0.01, 9) });
    expect(probe?.settings).toMatchObject({ pattern: '01 {oil} {oil_unit}', oil_unit: 'C' });
    expect(readShop(shopFile()).gauges.map(({ spec }) => spec.serial)).not.toContain('OT-12');
    const store = openStore(path.join(folder, 'record.db'), { mode: 'read' });
    expect(store.acts('gauge entered', { subject: 'OT-12' }).map(({ body }) => body.probe)).toEqual([probe?.spec]);
    store.close();
  });

  it('is not added twice, nor as a gauge', async () => {
    const said = await dwellmark('gauge', 'add', '--shop', folder, '--path', cable.path, '--serial', 'OT-12', '--yes');
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toMatch(/OT-12 is in the shop file already/);
  });

  it('is read, listed and shown', async () => {
    talking(probeLine, 20);
    const text = readFileSync(shopFile(), 'utf8');
    const at = text.indexOf('[[probe]]');
    writeFileSync(shopFile(), text.slice(0, at) + text.slice(at).replace(/path = ".*"/, `path = "${cable.path}"`));
    const said = await dwellmark('gauge', 'read', 'OT-12', '--shop', folder, '--count', '12');
    const lines = said.out.trimEnd().split('\n');
    for (const line of lines.slice(0, 12)) expect(line).toMatch(/^ +\d+\.\d{3} s {2}oil 38\.2[567]\u00a0°C$/);
    expect(lines[12]).toMatch(/^12 readings; rate [\d.]+ a second; jitter [\d.]+ ms$/);
    const json = await dwellmark('gauge', 'read', 'OT-12', '--shop', folder, '--count', '3', '--json');
    expect(JSON.parse(json.out)).toMatchObject({ gauge: 'OT-12', seen: { readings: 3, withoutValue: 0 } });
    expect((await dwellmark('gauge', 'list', '--shop', folder)).out).toMatch(/gauge OT-12: oil probe, ascii-stream on/);
    expect((await dwellmark('gauge', 'show', 'OT-12', '--shop', folder)).out).toMatch(/^Gauge OT-12\n {2}oil probe\n/);
  });

  it('with a pattern that says so, though the lines carry no unit', async () => {
    talking((index) => `${(38.25 + (index % 3) / 100).toFixed(2)}\r\n`);
    const args = ['--path', cable.path, '--serial', 'OT-13', '--pattern', '{oil}', '--accuracy', '0.2 K', '--yes'];
    const said = await dwellmark('gauge', 'add', '--shop', folder, ...args);
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
    const named = ['--path', cable.path, '--serial', serial, ...args, '--yes'];
    const said = await dwellmark('gauge', 'add', '--shop', folder, ...named);
    expect(said, said.err).toMatchObject({ code: 0 });
    expect(readShop(shopFile())[kind].find(({ spec }) => spec.serial === serial)?.settings).toMatchObject(settings);
  });
});

describe('what is wrong is said in one to three lines', () => {
  it.each<{ what: string; args: readonly string[]; code: number; says: RegExp }>([
    {
      what: 'no such port',
      args: ['add', '--path', '/dev/no-such-port', '--serial', 'SN 3'],
      code: 5,
      says: /no serial port/,
    },
    { what: 'an empty port', args: ['add', '--path', ''], code: 2, says: /--path names no port/ },
    ...[
      { what: 'a range', option: ['--range', '0-400 bar'], says: /"0-400 bar" is not a range/ },
      { what: 'an accuracy', option: ['--accuracy', '0,25 %FS'], says: /decimal comma/ },
      { what: 'a unit', option: ['--unit', 'psia'], says: /"psia" is not a unit a gauge is read in/ },
      { what: 'a pattern', option: ['--pattern', '{pressur}'], says: /unknown part "pressur"/ },
      { what: 'a baud rate', option: ['--baud', '0'], says: /at least 1/ },
    ].map(({ what, option, says }) => ({
      what: `${what} that can't be, before anything is listened to`,
      args: ['add', '--path', '/dev/no-such-port', ...option],
      code: 2,
      says,
    })),
    { what: 'nobody to ask', args: ['add', '--path', 'CABLE'], code: 2, says: /--yes/ },
    { what: 'an unknown gauge', args: ['read', 'SN 1'], code: 2, says: /"SN 1" is not in/ },
    { what: 'an unknown gauge to show', args: ['show', 'SN 1'], code: 2, says: /neither in the shop file/ },
  ])('$what', async ({ args, code, says }) => {
    talking(barLine);
    const said = await dwellmark('gauge', ...args.map((one) => (one === 'CABLE' ? cable.path : one)), '--shop', folder);
    expect(said).toMatchObject({ code, out: '' });
    expect(said.err).toMatch(says);
    const told = said.err.slice(said.err.indexOf('dwellmark:')).trimEnd().split('\n');
    expect(told.length).toBeLessThanOrEqual(3);
  });

  it('--yes without the accuracy names the option, and writes nothing', async () => {
    talking(barLine);
    const before = readFileSync(shopFile(), 'utf8');
    const said = await dwellmark(
      ...['gauge', 'add', '--shop', folder, '--path', cable.path, '--serial', 'SN 2', '--range', '0..400 bar', '--yes'],
    );
    expect(said.code).toBe(2);
    expect(said.err).toMatch(/--accuracy/);
    expect(readFileSync(shopFile(), 'utf8')).toBe(before);
  });

  it.each<{ what: string; line: (index: number) => string; code: number; says: RegExp }>([
    { what: 'absolute pressures', line: (i) => `${14 + i}.7 psia\r\n`, code: 5, says: /"psia", an absolute pressure/ },
    {
      what: 'a unit that is not known',
      line: (i) => `${14 + i}.7 mmHg\r\n`,
      code: 2,
      says: /no unit that is known \("mmHg"/,
    },
    { what: 'no value', line: () => 'OL bar\r\n', code: 5, says: /none of these readings has a value/ },
  ])('--yes and a gauge that sends $what: nothing is written', async ({ line, code, says }) => {
    talking(line);
    const before = readFileSync(shopFile(), 'utf8');
    const named = ['--serial', 'SN 5', '--range', '0..400 bar', '--accuracy', '0.25 %FS'];
    const said = await dwellmark('gauge', 'add', '--shop', folder, '--path', cable.path, ...named, '--yes');
    expect(said).toMatchObject({ code, out: '' });
    expect(said.err).toMatch(says);
    expect(readFileSync(shopFile(), 'utf8')).toBe(before);
  });

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
    const said = await dwellmark('gauge', 'add', '--shop', folder, '--path', cable.path, '--serial', 'X-1', '--yes');
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toMatch(says);
    expect(readFileSync(shopFile(), 'utf8')).toBe(before);
  });

  it('a temperature that was said, and a pressure in the lines: nothing is written', async () => {
    talking(barLine);
    const args = ['--path', cable.path, '--serial', 'X-1', '--unit', 'C', '--yes'];
    const said = await dwellmark('gauge', 'add', '--shop', folder, ...args);
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toMatch(/a pressure stands in the lines, but a temperature was said/);
  });

  it('a gauge that sends what its pattern does not fit: exit 5 and the line as it came', async () => {
    talking((index) => `garbled ${index}\r\n`, 50);
    const text = readFileSync(shopFile(), 'utf8').replace(/path = ".*"/, `path = "${cable.path}"`);
    writeFileSync(shopFile(), text);
    const said = await dwellmark('gauge', 'read', 'SN 40117', '--shop', folder);
    expect(said.code).toBe(5);
    expect(said.err).toMatch(/sends lines that are no readings: "garbled/);
  });
});
