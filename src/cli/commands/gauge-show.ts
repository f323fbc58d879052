import { existsSync } from 'node:fs';
import { findShop, type Shop, withCalibrationInForce } from '../../bench/index.js';
import { type EnteredCalibration, openStore, type TestLine } from '../../record/index.js';
import { DwellmarkError, spell, unitSystems } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { say, sayJson } from '../output.js';
import { verdictWord } from '../report/verdict-words.js';

const testsShown = 5;

/** `dwellmark gauge show`: what a gauge is, how it is read, its calibrations, and the tests that used it last. */
export function run(serial: string, options: CommonOptions): void {
  const shop = findShop(options.shop);
  const known = shop.gauges.find(({ spec }) => spec.serial === serial);
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
  const text = (marked: string): void => say(spell(marked, unitSystems[shop.units]));
  const named = [spec.maker, spec.model].filter((part) => part !== undefined).join(' ');
  say(`Gauge ${serial}${named === '' ? '' : `: ${named}`}`);
  text(
    `  range {pressure:${spec.rangeLowPa}} to {pressure:${spec.rangeHighPa}}, steps of {difference:${spec.resolutionPa}}, good to ±{difference:${spec.accuracyOfSpan * (spec.rangeHighPa - spec.rangeLowPa)}}`,
  );
  if (line === null) say('  not in the shop file: nothing says how it is read');
  else
    say(
      `  ${Object.entries(line)
        .map(([key, value]) => `${key} ${JSON.stringify(value)}`)
        .join(', ')}`,
    );
  const inForce = spec.calibration;
  if (inForce === undefined) say('  no calibration is on file');
  else text(`  in force: ${calibrationText(inForce)}`);
  for (const one of [...kept.calibrations].reverse())
    text(
      `  entered ${one.enteredAt.slice(0, 10)}: ${calibrationText(one)}${one.attachment === null ? '' : `; file ${one.attachment.slice(0, 12)}`}`,
    );
  if ((inForce?.corrections ?? []).length > 0) say('  Corrections are listed and not applied to readings.');
  if (kept.tests.length === 0) say('  no test was made with it');
  for (const test of kept.tests.slice(0, testsShown))
    say(
      `  ${test.test}  ${test.startedAt.slice(0, 10)}  ${test.serial}  ${test.verdict === null ? 'not sealed' : verdictWord(test.verdict)}`,
    );
  if (kept.tests.length > testsShown) say(`  and more: dwellmark list --gauge ${JSON.stringify(serial)}`);
}

type Shown = Pick<EnteredCalibration, 'certificate' | 'laboratory' | 'date' | 'due' | 'expandedUPa' | 'corrections'>;

function calibrationText({ certificate, laboratory, date, due, expandedUPa, corrections = [] }: Shown): string {
  const table = corrections.map(({ atPa, addPa }) => `{difference:${addPa}} at {pressure:${atPa}}`).join(', ');
  return [
    `${certificate} of ${laboratory}, ${date}, due ${due}`,
    ...(expandedUPa === undefined ? [] : [`U (k = 2) {difference:${expandedUPa}}`]),
    ...(table === '' ? [] : [`corrections: ${table}`]),
  ].join('; ');
}

function fromRecord(shop: Shop, serial: string) {
  const nothing = { spec: null, calibrations: [], tests: [] as readonly TestLine[] };
  if (!existsSync(shop.database)) return nothing;
  const store = openStore(shop.database, { mode: 'read' });
  try {
    const gauge = store.gauges().find((one) => one.serial === serial);
    const tests = store.tests({ gauge: serial }).filter((test) => test.gauge === serial);
    return { spec: gauge?.spec ?? null, calibrations: gauge?.calibrations ?? [], tests };
  } finally {
    store.close();
  }
}
