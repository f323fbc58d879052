import { existsSync } from 'node:fs';
import { listedTests } from '../../audit/index.js';
import { findShop, type Shop, type ShopGauge, type ShopProbe, withCalibrationInForce } from '../../bench/index.js';
import type { CalibrationSpec, GaugeSpec, OilProbeSpec } from '../../procedure/index.js';
import { type EnteredCalibration, openStore, type TestLine } from '../../record/index.js';
import { DwellmarkError, spell, unitSystems } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { say, sayJson } from '../output.js';
import { historyLines, pointLines } from '../report/calibration-table.js';
import { gaugeScale, scaleOf } from '../report/gauge-text.js';
import { verdictWord } from '../report/verdict-words.js';

const testsShown = 5;

/** `dwellmark gauge show`: what a gauge is, how it is read, its calibrations, and the tests that used it last. */
export function run(serial: string, options: CommonOptions): void {
  const shop = findShop(options.shop);
  const known = [...shop.gauges, ...shop.probes].find(({ spec }) => spec.serial === serial);
  const kept = fromRecord(shop, serial);
  const written = known?.spec ?? kept.spec;
  if (written === null)
    throw new DwellmarkError('input', `gauge "${serial}" is neither in the shop file nor in the record`, {
      advice: '`dwellmark gauge list` shows those known; `dwellmark gauge add` adds one.',
    });
  const spec = withCalibrationInForce(written, kept.calibrations, new Date().toISOString().slice(0, 10));
  const line = known === undefined ? null : { driver: known.driver, ...known.settings };
  if (options.json)
    return sayJson({ spec, line, calibrations: kept.calibrations, tests: kept.tests.slice(0, testsShown) });
  const named = [spec.maker, spec.model].filter((part) => part !== undefined).join(' ');
  say(`Gauge ${serial}${named === '' ? '' : `: ${named}`}`);
  say(spell(`  ${aboutText(spec)}`, unitSystems[shop.units]));
  say(`  ${lineText(known)}`);
  sayCalibrations(spec, written, kept.calibrations);
  say('');
  sayTests(serial, kept.tests);
}

const isGauge = (spec: GaugeSpec | OilProbeSpec): spec is GaugeSpec => 'rangeHighPa' in spec;

function aboutText(spec: GaugeSpec | OilProbeSpec): string {
  if (isGauge(spec))
    return `range {pressure:${spec.rangeLowPa}} to {pressure:${spec.rangeHighPa}}, steps of {difference:${spec.resolutionPa}}, good to ±{difference:${spec.accuracyOfSpan * (spec.rangeHighPa - spec.rangeLowPa)}}`;
  const { rangeLowK, rangeHighK, accuracyK } = spec;
  const range =
    rangeLowK === undefined || rangeHighK === undefined
      ? ''
      : `, range {temperature:${rangeLowK}} to {temperature:${rangeHighK}}`;
  return `oil probe${range}${accuracyK === undefined ? '' : `, good to ±${accuracyK} K`}`;
}

function lineText(known: ShopGauge | ShopProbe | undefined): string {
  if (known === undefined) return 'not in the shop file: nothing says how it is read';
  const settings = Object.entries({ driver: known.driver, ...known.settings });
  return settings.map(([key, value]) => `${key} ${JSON.stringify(value)}`).join(', ');
}

/** Those of the record, and the one that is written in the shop file when the record does not have it. */
function sayCalibrations(
  spec: GaugeSpec | OilProbeSpec,
  written: GaugeSpec | OilProbeSpec,
  entered: readonly EnteredCalibration[],
): void {
  const ofFile = written.calibration;
  const onlyInFile = ofFile !== undefined && !entered.some(({ certificate }) => certificate === ofFile.certificate);
  const all: readonly CalibrationSpec[] = onlyInFile ? [ofFile, ...entered] : entered;
  const scale = isGauge(spec) ? scaleOf(spec) : gaugeScale('bar', 0.1);
  say('');
  if (all.length === 0) return say('No calibration is on file.');
  say('Calibrations (> in force today):');
  for (const row of historyLines(all, spec.calibration?.certificate, scale)) say(`  ${row}`);
  for (const row of pointLines(all, scale)) say(row === '' ? '' : `  ${row}`);
  const table = (spec.calibration?.corrections ?? []).length > 0;
  if (table)
    say('\n  Levels are corrected by the table in force; recorded readings, and drops, stay as the gauge shows them.');
}

function sayTests(serial: string, tests: readonly TestLine[]): void {
  if (tests.length === 0) return say('No test was made with it.');
  say('Tests that used it last:');
  for (const test of tests.slice(0, testsShown))
    say(
      `  ${test.test}  ${test.startedAt.slice(0, 10)}  ${test.serial}  ${test.verdict === null ? 'not sealed' : verdictWord(test.verdict)}`,
    );
  if (tests.length > testsShown) say(`  and more: dwellmark list --gauge ${JSON.stringify(serial)}`);
}

function fromRecord(shop: Shop, serial: string) {
  const nothing = { spec: null, calibrations: [] as EnteredCalibration[], tests: [] as readonly TestLine[] };
  if (!existsSync(shop.database)) return nothing;
  const store = openStore(shop.database, { mode: 'read' });
  try {
    const gauge = store.gauges().find((one) => one.serial === serial);
    return {
      spec: gauge?.spec ?? null,
      calibrations: store.calibrationsOf(serial),
      tests: listedTests(store, { gauge: serial }).tests,
    };
  } finally {
    store.close();
  }
}
