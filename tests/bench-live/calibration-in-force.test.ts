import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { addToShop, type GaugeEntry, prepare, readShop, withCalibrationInForce } from '../../src/bench/index.js';
import { type CalibrationSpec, readGauge } from '../../src/procedure/index.js';
import { openStore } from '../../src/record/index.js';
import { writeQuickShop } from './quick-bench.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-calibration-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const calibration = (certificate: string, date: string): CalibrationSpec => ({
  certificate,
  laboratory: 'Brackwater Metrology',
  date,
  due: '2028-01-01',
});
const bare = readGauge({ serial: 'SN 9', range: '0..400 bar', resolution: '0.1 bar', accuracy: '0.25 %FS' });

it.each<[what: string, written: string | null, entered: readonly string[], on: string, inForce: string | null]>([
  ['none at all', null, [], '2026-06-01', null],
  ['the one written beside the gauge', '2026-01-01', [], '2026-06-01', '2026-01-01'],
  ['a newer one entered', '2026-01-01', ['2026-05-01'], '2026-06-01', '2026-05-01'],
  ['an older one entered later', '2026-05-01', ['2026-01-01'], '2026-06-01', '2026-05-01'],
  ['one of a day to come', '2026-01-01', ['2026-07-01'], '2026-06-01', '2026-01-01'],
  ['only one of a day to come, written: the plan says so', '2026-07-01', [], '2026-06-01', '2026-07-01'],
  ['on its very day', null, ['2026-06-01'], '2026-06-01', '2026-06-01'],
])('in force: %s', (_, written, entered, on, inForce) => {
  const gauge = written === null ? bare : { ...bare, calibration: calibration('written', written) };
  const calibrations = entered.map((date, index) => calibration(`entered ${index}`, date));
  expect(withCalibrationInForce(gauge, calibrations, on).calibration?.date ?? null).toBe(inForce);
});

it('of two of one day the one entered last is in force', () => {
  const gauge = { ...bare, calibration: calibration('written', '2026-05-01') };
  const twice = [calibration('first', '2026-05-01'), calibration('second', '2026-05-01')];
  expect(withCalibrationInForce(gauge, twice, '2026-06-01').calibration?.certificate).toBe('second');
});

it('a test is prepared with the calibration that the record holds, and its plan carries it', () => {
  const jobFile = writeQuickShop(folder, '/dev/null', { dwellS: 10, attended: false, ports: ['A'] });
  const shop = readShop(path.join(folder, 'dwellmark.toml'));
  const demand = { jobFile, shop, attendance: 'unattended', on: '2026-06-01' } as const;
  const { gauge } = prepare(demand);
  const store = openStore(shop.database, { mode: 'write' });
  store.addGauge({ spec: gauge, driver: { name: 'ascii-stream' } });
  store.addCalibration(gauge.serial, calibration('CAL-NEW', '2026-05-30'));
  store.close();
  expect(prepare(demand).plan.gauge.calibration).toEqual(calibration('CAL-NEW', '2026-05-30'));
  expect(prepare({ ...demand, on: '2026-05-29' }).plan.gauge.calibration).toEqual(gauge.calibration);
});

const entry: GaugeEntry = {
  serial: 'SN "9" \\ ü',
  range: '0..400 bar',
  resolution: '0.1 bar',
  accuracy: '0.25 %FS',
  driver: 'ascii-stream',
  line: { path: 'COM3', baud_rate: 9600, terminator: '\r', pattern: '{pressure} "{unit}"\\', unit: 'bar' },
};

it.each([
  ['an empty shop', 'name = "H"'],
  ['comments and an odd ending', '# ours\nname = "H" # short\n\n[signatures]\nself_review = true\n# end'],
])('a gauge is put behind what stands in %s, whatever signs its texts have', (_, text) => {
  const file = path.join(folder, 'dwellmark.toml');
  writeFileSync(file, text);
  const after = addToShop(readShop(file), { kind: 'gauge', entry });
  expect(readFileSync(file, 'utf8').startsWith(text)).toBe(true);
  expect(after.gauges[0]?.spec.serial).toBe(entry.serial);
  expect(after.gauges[0]?.settings).toEqual(entry.line);
});

it('a gauge that contradicts itself changes nothing, and the shop file is named', () => {
  const file = path.join(folder, 'dwellmark.toml');
  writeFileSync(file, 'name = "H"\n');
  const wrong = { ...entry, resolution: '1 psi' };
  const add = (): unknown => addToShop(readShop(file), { kind: 'gauge', entry: wrong });
  expect(add).toThrowError(expect.objectContaining({ code: 'input', place: expect.objectContaining({ file }) }));
  expect(readFileSync(file, 'utf8')).toBe('name = "H"\n');
});

it('an oil probe has a table of its own, and no serial is taken twice, be it of a gauge or of a probe', () => {
  const file = path.join(folder, 'dwellmark.toml');
  writeFileSync(file, 'name = "H"\n');
  const line = { path: 'COM4', pattern: '{oil} {oil_unit}', unit: 'bar', oil_unit: 'F' };
  const probe = { serial: 'OT-12', range: '-20..250 F', resolution: '0.1 F', driver: 'ascii-stream', line };
  const shop = addToShop(addToShop(readShop(file), { kind: 'gauge', entry }), { kind: 'probe', entry: probe });
  expect(shop.probes.map(({ spec, settings }) => [spec.serial, spec.resolutionK, settings])).toEqual([
    ['OT-12', expect.closeTo(0.1 / 1.8, 9), line],
  ]);
  for (const again of [entry, { ...entry, serial: 'OT-12' }])
    expect(() => addToShop(shop, { kind: 'gauge', entry: again })).toThrowError(/is in the shop file already/);
  expect(() => addToShop(shop, { kind: 'probe', entry: { ...probe, serial: entry.serial } })).toThrowError(/already/);
});
