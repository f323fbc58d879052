import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { readShop } from '../../src/bench/index.js';
import { openStore } from '../../src/record/index.js';
import { dwellmark } from './command-line.js';
import { talkingShop } from './talking-shop.js';

const { shop, shopFile, cable, talking, add } = talkingShop();

const barLine = (index: number): string => `P=${(250 - index / 10).toFixed(1)} bar; T=21.5 C\r\n`;
const facts = ['--serial', 'SN 40117', '--range', '0..400 bar', '--accuracy', '0.25 %FS'];

describe('an unknown gauge is added, read, calibrated and shown', () => {
  it('listens, shows ten readings beside the raw lines, and writes the table behind what stands there', async () => {
    talking(barLine);
    const before = readFileSync(shopFile(), 'utf8');
    const said = await add(...facts, '--yes');
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
    const store = openStore(path.join(shop(), 'record.db'), { mode: 'read' });
    expect(store.gauges().map(({ serial }) => serial)).toEqual(['SN 40117']);
    store.close();
  });

  it('is not added twice, and nothing is listened to then', async () => {
    const before = readFileSync(shopFile(), 'utf8');
    const said = await add(...facts, '--yes');
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toMatch(/SN 40117 is in the shop file already/);
    expect(readFileSync(shopFile(), 'utf8')).toBe(before);
  });

  it('reads it: a line a reading, then rate, jitter, noise and resolution as seen', async () => {
    talking((index) => `P=${(250 - (index % 3) / 10).toFixed(1)} bar; T=21.5 C\r\n`, 20);
    const text = readFileSync(shopFile(), 'utf8').replace(/path = ".*"/, `path = "${cable().path}"`);
    writeFileSync(shopFile(), text);
    const said = await dwellmark('gauge', 'read', 'SN 40117', '--shop', shop(), '--count', '30');
    expect(said.code).toBe(0);
    const lines = said.out.trimEnd().split('\n');
    expect(lines).toHaveLength(31);
    for (const line of lines.slice(0, 30))
      expect(line).toMatch(/^ +\d+\.\d{3} s {2}2(?:50\.0|49\.[89])\u00a0bar, oil 21\.5/);
    expect(lines[30]).toMatch(/30 readings; rate \d+.* a second; jitter .* ms; noise 0\.\d+ bar; steps of 0\.10 bar/);
    const json = await dwellmark('gauge', 'read', 'SN 40117', '--shop', shop(), '--count', '5', '--json');
    const { readings, seen } = JSON.parse(json.out) as { readings: unknown[]; seen: { readings: number } };
    expect([readings.length, seen.readings]).toEqual([5, 5]);
  });

  it('enters a calibration with its file; a second time it is refused; it is in force when the gauge is shown', async () => {
    const file = path.join(shop(), 'cal-0311.pdf');
    writeFileSync(file, '%PDF-1.7\n% scanned\n');
    const calibrate = (...more: readonly string[]) =>
      dwellmark('gauge', 'calibrate', 'SN 40117', '--shop', shop(), '--laboratory', 'Brackwater Metrology', ...more);
    const first = ['--certificate', 'CAL-0311', '--date', '2026-03-14', '--due', '2027-03-14'];
    const points = ['--correction', '200 bar=-0.2 bar', '--correction', '100 bar=-0.1 bar', '--uncertainty', '0.2 bar'];
    const said = await calibrate(...first, ...points, '--file', file);
    expect(said.err).toBe('');
    expect(said.code).toBe(0);
    expect(said.out).toMatch(/CAL-0311 of gauge SN 40117 is entered, due 2027-03-14\. Ledger line \d+/);
    expect((await calibrate(...first)).err).toMatch(/CAL-0311 of SN 40117 is entered already/);
    const store = openStore(path.join(shop(), 'record.db'), { mode: 'read' });
    const [kept] = store.gauges()[0]?.calibrations ?? [];
    expect(kept?.corrections).toEqual([
      { atPa: 10_000_000, addPa: -10_000 },
      { atPa: 20_000_000, addPa: -20_000 },
    ]);
    expect(store.attachment(kept?.attachment ?? '')?.bytes).toEqual(readFileSync(file));
    store.close();
    const shown = await dwellmark('gauge', 'show', 'SN 40117', '--shop', shop());
    expect(shown.out).toMatch(
      /> {2}CAL-0311 +Brackwater Metrology +2026-03-14 +2027-03-14 +not stated +0\.20 bar +[0-9a-f]{12}/,
    );
    expect(shown.out).toMatch(/corrected by the table in force/);
    const listed = await dwellmark('gauge', 'list', '--shop', shop());
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
      ...['gauge', 'calibrate', 'SN 40117', '--shop', shop(), '--certificate', 'X-1', '--laboratory', 'L', ...more],
    );
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toMatch(says);
    expect(said.err.trimEnd().split('\n').length).toBeLessThanOrEqual(3);
    const store = openStore(path.join(shop(), 'record.db'), { mode: 'read' });
    expect(store.gauges()[0]?.calibrations).toHaveLength(1);
    store.close();
  });
});

describe('gauge doctor', () => {
  it('writes down what is heard, a guess and what it rests on, and changes nothing', async () => {
    talking((i) => `${i / 10} s ${(250 + (i % 3) / 10).toFixed(1)} bar\r\n`);
    const before = readFileSync(shopFile(), 'utf8');
    const said = await dwellmark('gauge', 'doctor', '--path', cable().path, '--baud', '9600', '--seconds', '2');
    expect(said.code).toBe(0);
    expect(said.out).toMatch(/9600 baud 8N1: \d+ bytes, [\d.]+ lines\/s/);
    expect(said.out).toMatch(/guess \(sure\): .*"unit":"bar"/);
    expect(said.out).toMatch(/because .* is in s/);
    expect(said.out).toMatch(/noise \d+ Pa/);
    expect(readFileSync(shopFile(), 'utf8')).toBe(before);
  });

  it('says what came where nothing is understood, exit 5', async () => {
    talking(() => '\u0091\u00fe\u0003\u00c1');
    const said = await dwellmark('gauge', 'doctor', '--path', cable().path, '--baud', '9600', '--seconds', '1');
    expect(said.code).toBe(5);
    expect(said.out).toMatch(/not understood/);
    expect(said.out).toMatch(/91 c3|91 fe/);
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
      { what: 'a range', option: ['--range', '0/400 bar'], says: /"0\/400 bar" is not a range/ },
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
    const said = await dwellmark(
      'gauge',
      ...args.map((one) => (one === 'CABLE' ? cable().path : one)),
      '--shop',
      shop(),
    );
    expect(said).toMatchObject({ code, out: '' });
    expect(said.err).toMatch(says);
    const told = said.err.slice(said.err.indexOf('dwellmark:')).trimEnd().split('\n');
    expect(told.length).toBeLessThanOrEqual(3);
  });

  it('--yes without the accuracy names the option, and writes nothing', async () => {
    talking(barLine);
    const before = readFileSync(shopFile(), 'utf8');
    const said = await add('--serial', 'SN 2', '--range', '0..400 bar', '--yes');
    expect(said.code).toBe(2);
    expect(said.err).toMatch(/--accuracy/);
    expect(readFileSync(shopFile(), 'utf8')).toBe(before);
  });

  it.each<{ what: string; line: (index: number) => string; code: number; says: RegExp }>([
    { what: 'absolute pressures', line: (i) => `${14 + i}.7 psia\r\n`, code: 5, says: /"psia", an absolute pressure/ },
    {
      what: 'a unit that is not known',
      line: (i) => `${14 + i}.7 ftSW\r\n`,
      code: 2,
      says: /no unit that is known \("ftSW"/,
    },
    {
      what: 'the lines of two instruments',
      line: (i) => `0${1 + (i % 2)} ${250 - i / 100} bar\r\n`,
      code: 2,
      says: /2 instruments take turns on this line\n.*--address 01 or --address 02/,
    },
    {
      what: 'two numbers that could be the pressure',
      line: (i) => `${250 - i / 100};${260 - (i % 3)}.5;bar\r\n`,
      code: 2,
      says: /2 numbers could be the pressure\n.*--column: 1 is 2/,
    },
    { what: 'no value', line: () => 'OL bar\r\n', code: 5, says: /none of these readings has a value/ },
  ])('--yes and a gauge that sends $what: nothing is written', async ({ line, code, says }) => {
    talking(line);
    const before = readFileSync(shopFile(), 'utf8');
    const named = ['--serial', 'SN 5', '--range', '0..400 bar', '--accuracy', '0.25 %FS'];
    const said = await add(...named, '--yes');
    expect(said).toMatchObject({ code, out: '' });
    expect(said.err).toMatch(says);
    expect(readFileSync(shopFile(), 'utf8')).toBe(before);
  });

  it('a gauge that sends what its pattern does not fit: exit 5 and the line as it came', async () => {
    talking((index) => `garbled ${index}\r\n`, 50);
    const text = readFileSync(shopFile(), 'utf8').replace(/path = ".*"/, `path = "${cable().path}"`);
    writeFileSync(shopFile(), text);
    const said = await dwellmark('gauge', 'read', 'SN 40117', '--shop', shop());
    expect(said.code).toBe(5);
    expect(said.err).toMatch(/sends lines that are no readings: "garbled/);
  });
});
