import { readFileSync } from 'node:fs';
import path from 'node:path';
import { findShop, gaugeOfShop, type ShopGauge } from '../../bench/index.js';
import { type CalibrationSpec, readCalibration } from '../../procedure/index.js';
import { openStore, type Store } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import { ask } from '../ask.js';
import type { CommonOptions } from '../common-options.js';
import { remark, say, sayJson } from '../output.js';

export interface GaugeCalibrateOptions extends CommonOptions {
  readonly certificate?: string;
  readonly laboratory?: string;
  readonly date?: string;
  readonly due?: string;
  readonly uncertainty?: string;
  /** `100 bar=-0.1 bar`, one for each point. */
  readonly correction: readonly string[];
  readonly file?: string;
}

/** `dwellmark gauge calibrate`: enters a calibration; it is in force from its date, and the older ones stay. */
export async function run(serial: string, options: GaugeCalibrateOptions): Promise<void> {
  const shop = findShop(options.shop);
  const gauge = gaugeOfShop(shop, serial);
  const today = new Date().toISOString().slice(0, 10);
  const calibration = readCalibration({
    certificate: options.certificate ?? (await ask('Number of the certificate', '--certificate')),
    laboratory: options.laboratory ?? (await ask('Laboratory', '--laboratory')),
    date: options.date ?? (await ask('Date of the calibration, year-month-day', '--date')),
    due: options.due ?? (await ask('Last day it is good for', '--due')),
    ...(options.uncertainty === undefined ? {} : { uncertainty: options.uncertainty }),
    ...(options.correction.length === 0 ? {} : { corrections: options.correction.map(point) }),
  });
  demandSense(calibration, gauge, today);
  const file = options.file === undefined ? undefined : readAttachment(options.file);
  const store = openStore(shop.database, { mode: 'write' });
  try {
    const known = enterIfNew(store, gauge);
    if (known.some(({ certificate }) => certificate === calibration.certificate))
      throw new DwellmarkError('refused', `certificate ${calibration.certificate} of ${serial} is entered already`, {
        advice: `\`dwellmark gauge show ${JSON.stringify(serial)}\` shows it; nothing has been changed.`,
      });
    const { position } = store.addCalibration(serial, calibration, file);
    const attachment =
      store
        .gauges()
        .find((one) => one.serial === serial)
        ?.calibrations.at(-1)?.attachment ?? null;
    if (options.json) return sayJson({ gauge: serial, calibration, ledger: position, attachment });
    say(`${calibration.certificate} of gauge ${serial} is entered, due ${calibration.due}. Ledger line ${position}.`);
    if (attachment !== null) say(`${options.file} is kept with it: sha256 ${attachment}`);
    if (calibration.corrections !== undefined)
      say('Its corrections are kept and listed; readings stay as the gauge shows them, none is applied.');
    if (calibration.due < today) remark(`warn: it was due on ${calibration.due}; a test today is stopped by it.`);
  } finally {
    store.close();
  }
}

/** The gauge's calibrations so far. A gauge that was written into the shop file by hand is entered in the ledger first. */
function enterIfNew(store: Store, { spec, driver, settings }: ShopGauge): readonly CalibrationSpec[] {
  const known = store.gauges().find(({ serial }) => serial === spec.serial);
  if (known) return known.calibrations;
  store.addGauge({ spec, driver: { name: driver, ...settings } });
  return [];
}

function point(text: string): { at: string; add: string } {
  const [at, add, ...more] = text.split('=').map((part) => part.trim());
  if (at && add && more.length === 0) return { at, add };
  throw new DwellmarkError('input', `"${text}" is not a correction`, {
    place: { key: '--correction' },
    advice: 'Write what the gauge shows and what to add to it: --correction "100 bar=-0.1 bar".',
  });
}

function demandSense(calibration: CalibrationSpec, { spec }: ShopGauge, today: string): void {
  const wrong = (key: string, message: string, advice: string): DwellmarkError =>
    new DwellmarkError('input', message, { place: { key }, advice });
  if (calibration.date > today)
    throw wrong('--date', `a calibration of ${calibration.date} has not been made yet`, 'Look at the date.');
  for (const [index, one] of (calibration.corrections ?? []).entries()) {
    if (one.atPa < spec.rangeLowPa || one.atPa > spec.rangeHighPa)
      throw wrong('--correction', "a correction lies outside the gauge's range", 'Look at its unit.');
    if (calibration.corrections?.[index - 1]?.atPa === one.atPa)
      throw wrong('--correction', 'two corrections stand at the same pressure', 'Give each pressure once.');
  }
}

const media: Readonly<Record<string, { readonly name: string; readonly start: readonly number[] }>> = {
  '.pdf': { name: 'application/pdf', start: [0x25, 0x50, 0x44, 0x46] },
  '.png': { name: 'image/png', start: [0x89, 0x50, 0x4e, 0x47] },
  '.jpg': { name: 'image/jpeg', start: [0xff, 0xd8] },
  '.jpeg': { name: 'image/jpeg', start: [0xff, 0xd8] },
};

function readAttachment(file: string): { media: string; bytes: Buffer } {
  const kind = media[path.extname(file).toLowerCase()];
  let bytes: Buffer;
  try {
    bytes = readFileSync(file);
  } catch (cause) {
    throw new DwellmarkError('input', "the certificate's file can't be read", {
      place: { file },
      advice: 'Check its path.',
      cause,
    });
  }
  if (kind?.start.every((byte, index) => bytes[index] === byte)) return { media: kind.name, bytes };
  throw new DwellmarkError('input', 'this is no PDF, PNG or JPEG', {
    place: { file },
    advice: 'Give the certificate as the laboratory sent it, or a scan of it.',
  });
}
