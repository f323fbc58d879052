import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openStore } from '../../src/record/index.js';
import { writeQuickShop } from '../bench-live/quick-bench.js';
import { dwellmark } from './command-line.js';

let folder = '';
let job = '';
const shopText = (policy: string): string => `name = "Harrow Fell Hydraulics"
${policy}
[[gauge]]
serial = "BL-1001"
range = "0..100 bar"
resolution = "0.01 bar"
accuracy = "0.1 %FS"
[gauge.line]
path = "/dev/null"
pattern = "{pressure} {unit}"
unit = "bar"
[[probe]]
serial = "OT-12"
range = "-20..120 C"
accuracy = "0.2 K"
[probe.line]
path = "/dev/null"
pattern = "{oil} C"
unit = "bar"
`;
const writeShop = (policy = ''): void => writeFileSync(path.join(folder, 'dwellmark.toml'), shopText(policy));

beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-calibrate-'));
  job = writeQuickShop(folder, '/dev/null', { dwellS: 10, attended: false, ports: ['A'] });
  writeShop();
  openStore(path.join(folder, 'record.db'), { mode: 'write' }).close();
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const gauge = (...args: readonly string[]) => dwellmark('gauge', ...args, '--shop', folder);
const put = (name: string, text: string): string => {
  const file = path.join(folder, name);
  writeFileSync(file, text);
  return file;
};

describe('a history of calibrations', () => {
  it('takes points from CSV, and everything from TOML', async () => {
    const csv = put('cal-0207.csv', 'reference_bar,as_found_bar\n0,0.00\n50,50.02\n100,100.04\n');
    const first = await gauge(
      ...['calibrate', 'BL-1001', '--certificate', 'CAL-0207', '--laboratory', 'Brackwater Metrology'],
      ...['--date', '2024-02-20', '--due', '2025-02-20', '--points', csv, '--json'],
    );
    expect(first.err).toBe('');
    expect(JSON.parse(first.out)).toMatchObject({
      calibration: { coversLowPa: 0, coversHighPa: 10_000_000, asFound: [{}, {}, { shownPa: 10_004_000 }] },
    });
    const toml = put(
      'cal-0311.toml',
      `certificate = "CAL-0311"
laboratory = "Brackwater Metrology"
date = 2026-03-14
due = 2999-03-14
covers = "0..100 bar"
uncertainty = "0.02 bar"
accuracy = "0.05 bar"
as_found = [{ reference = "0 bar", shown = "0.01 bar" }, { reference = "100 bar", shown = "100.09 bar" }]
as_left = [{ reference = "0 bar", shown = "0 bar" }, { reference = "100 bar", shown = "100.03 bar" }]
corrections = [{ at = "0 bar", add = "0 bar" }, { at = "100.03 bar", add = "-0.03 bar" }]
`,
    );
    const second = await gauge('calibrate', 'BL-1001', '--points', toml);
    expect(second).toMatchObject({ code: 0, err: '' });
    expect(second.out).toMatch(/Levels are corrected as its table states; the recorded readings, and drops, stay/);
  });

  it('is shown as a table, with what adjusting did and the drift since the calibration before', async () => {
    const { out } = await gauge('show', 'BL-1001');
    const rows = out.split('\n').map((row) => row.replace(/\s+/g, ' ').trim());
    expect(rows).toContain('> CAL-0311 Brackwater Metrology 2026-03-14 2999-03-14 0 to 100 bar 0.020 bar –');
    expect(rows).toContain('CAL-0207 Brackwater Metrology 2024-02-20 2025-02-20 0 to 100 bar – –');
    expect(rows).toContain('Reference As found As left Adjusted Since CAL-0207 Correction');
    expect(rows).toContain('100.00 +0.090 +0.030 −0.060 +0.050 −0.030');
  });

  it('an oil probe has one too, with its uncertainty in kelvins', async () => {
    const paper = ['--certificate', 'CAL-0407', '--laboratory', 'Brackwater Metrology', '--date', '2026-03-14'];
    const said = await gauge('calibrate', 'OT-12', ...paper, '--due', '2999-03-14', '--uncertainty', '0.1 K');
    expect(said).toMatchObject({ code: 0, err: '' });
    const { out } = await gauge('show', 'OT-12');
    expect(out).toMatch(/oil probe, range .*good to ±0\.2 K/);
    expect(out).toMatch(/> {2}CAL-0407 .* 0\.1 K/);
    expect((await gauge('list')).out).toMatch(/gauge OT-12: .*oil probe.* calibration due 2999-03-14/);
  });

  it.each<{ what: string; text: string; says: RegExp }>([
    { what: 'a column that is none', text: 'reference_bar,shown_bar\n0,0\n', says: /:1:2: the column "shown_bar"/ },
    { what: 'a unit that is none', text: 'reference_bars2,as_found_bar\n0,0\n', says: /reference_bars2/ },
    {
      what: 'a word for a number',
      text: 'reference_bar,as_found_bar\n0,zero\n',
      says: /:2, as_found: "zero" is no number/,
    },
    { what: 'a point without its reference', text: 'reference_bar,as_found_bar\n,5\n', says: /no reference/ },
    { what: 'no points', text: 'reference_bar,as_found_bar\n', says: /no points/ },
    { what: 'a point twice', text: 'reference_bar,as_found_bar\n5,5\n5,5.1\n', says: /twice/ },
    {
      what: 'a point in another unit',
      text: 'reference_psi,as_found_psi\n0,0\n5000,5001\n',
      says: /outside the gauge's range/,
    },
    { what: 'a gauge a tenth off', text: 'reference_bar,as_found_bar\n0,0\n50,61\n', says: /more than a tenth/ },
  ])('points with $what are refused in three lines, and nothing is entered', async ({ text, says }) => {
    const said = await gauge(
      ...['calibrate', 'BL-1001', '--certificate', 'X', '--laboratory', 'L', '--date', '2026-03-14'],
      ...['--due', '2027-03-14', '--points', put('points.csv', text)],
    );
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toMatch(says);
    expect(said.err.trimEnd().split('\n').length).toBeLessThanOrEqual(3);
  });
});

describe('a calibration that does not hold', () => {
  const found = async (): Promise<Record<string, string>> => {
    const { out } = await dwellmark('plan', job, '--shop', folder, '--json');
    const { findings } = JSON.parse(out) as { findings: { code: string; grade: string }[] };
    return Object.fromEntries(findings.map(({ code, grade }) => [code, grade]));
  };

  it('in force and covering: corrections are noted, nothing else', async () => {
    expect(await found()).toMatchObject({ 'calibration-corrections': 'note' });
    expect(Object.keys(await found()).filter((code) => code.startsWith('calibration'))).toEqual([
      'calibration-corrections',
    ]);
  });

  it.each([
    ['', 'stop', 'stop'],
    ['[calibration]\nout_of_date = "warn"\nnot_covering = "note"\n', 'warn', 'note'],
    ['[calibration]\nout_of_date = "note"\nnot_covering = "warn"\n', 'note', 'warn'],
  ])('%j: out of date %s, not covering %s', async (policy, outOfDate, notCovering) => {
    writeShop(policy);
    const paper = ['--certificate', `CAL-${policy.length}`, '--laboratory', 'Brackwater Metrology'];
    const today = new Date().toISOString().slice(0, 10);
    const due = ['--date', today, '--due', today];
    await gauge('calibrate', 'BL-1001', ...paper, ...due, '--covers', '0..50 bar');
    expect((await found())['calibration-not-covering']).toBe(notCovering);
    expect((await found())['calibration-expired']).toBeUndefined();
    const at = await import('../../src/bench/index.js');
    const shop = at.readShop(path.join(folder, 'dwellmark.toml'));
    const later = at.prepare({ jobFile: job, shop, attendance: 'unattended', on: '2999-04-01' });
    expect(later.findings.find(({ code }) => code === 'calibration-expired')?.grade).toBe(outOfDate);
  });

  it('a grade that is none is refused', async () => {
    writeShop('[calibration]\nout_of_date = "ignore"\n');
    const said = await dwellmark('plan', job, '--shop', folder);
    expect(said.code).toBe(2);
    expect(said.err).toMatch(/out_of_date/);
  });
});
