import path from 'node:path';
import {
  findShop,
  instrumentOfShop,
  readCalibrationFile,
  type Shop,
  type ShopGauge,
  type ShopProbe,
} from '../../bench/index.js';
import { type CalibrationSpec, readCalibration, readProbeCalibration } from '../../procedure/index.js';
import { fileLimits, openStore, readGivenFile, type Store } from '../../record/index.js';
import { DwellmarkError, type ErrorPlace } from '../../units/index.js';
import { ask } from '../ask.js';
import type { CommonOptions } from '../common-options.js';
import { remark, say, sayJson } from '../output.js';

export interface GaugeCalibrateOptions extends CommonOptions {
  readonly certificate?: string;
  readonly laboratory?: string;
  readonly date?: string;
  readonly due?: string;
  readonly covers?: string;
  readonly uncertainty?: string;
  readonly accuracy?: string;
  /** `100 bar=100.2 bar`: the reference, and what the gauge showed; one for each point. */
  readonly found: readonly string[];
  readonly left: readonly string[];
  /** `100 bar=-0.1 bar`, one for each point. */
  readonly correction: readonly string[];
  /** Points (CSV), or the whole calibration (TOML). */
  readonly points?: string;
  readonly file?: string;
}

/** `dwellmark gauge calibrate`: enters a calibration; it is in force from its date, and the older ones stay. */
export async function run(serial: string, options: GaugeCalibrateOptions): Promise<void> {
  const shop = findShop(options.shop);
  const gauge = instrumentOfShop(shop, serial);
  const today = new Date().toISOString().slice(0, 10);
  const place = options.points === undefined ? {} : { file: options.points };
  const fields = await fieldsOf(options, place);
  const calibration = isProbe(gauge) ? readProbeCalibration(fields, place) : readCalibration(fields, place);
  demandSense(calibration, gauge, today);
  const file = options.file === undefined ? undefined : readAttachment(options.file);
  const store = openStore(shop.database, { mode: 'write' });
  try {
    enterIfNew(store, gauge);
    if (store.calibrationsOf(serial).some(({ certificate }) => certificate === calibration.certificate))
      throw new DwellmarkError('refused', `certificate ${calibration.certificate} of ${serial} is entered already`, {
        advice: `\`dwellmark gauge show ${JSON.stringify(serial)}\` shows it; nothing has been changed.`,
      });
    const { position } = store.addCalibration(serial, calibration, file);
    const attachment = store.calibrationsOf(serial).at(-1)?.attachment ?? null;
    if (options.json) return sayJson({ gauge: serial, calibration, ledger: position, attachment });
    say(`${calibration.certificate} of gauge ${serial} is entered, due ${calibration.due}. Ledger line ${position}.`);
    if (attachment !== null) say(`${options.file} is kept with it: sha256 ${attachment}`);
    if (calibration.corrections !== undefined)
      say('Levels are corrected as its table states; the recorded readings, and drops, stay as the gauge shows them.');
    if (calibration.due < today) remark(outOfDate(shop, calibration));
  } finally {
    store.close();
  }
}

const isProbe = (gauge: ShopGauge | ShopProbe): gauge is ShopProbe => !('rangeHighPa' in gauge.spec);

function outOfDate({ calibration: policy }: Shop, { due }: CalibrationSpec): string {
  const then =
    policy.outOfDate === 'stop' ? 'a test today is stopped by it' : `a test today gets a ${policy.outOfDate}`;
  return `warn: it was due on ${due}; ${then}.`;
}

/** What was given on the command line goes before what stands in the file; what is missing is asked. */
async function fieldsOf(options: GaugeCalibrateOptions, place: ErrorPlace): Promise<Readonly<Record<string, unknown>>> {
  const inFile = options.points === undefined ? {} : readCalibrationFile(options.points);
  const said: Record<string, unknown> = { certificate: '-', laboratory: '-', date: '0001-01-01', due: '9999-12-31' };
  const needed = async (key: 'certificate' | 'laboratory' | 'date' | 'due', question: string): Promise<unknown> => {
    const check = (value: unknown): unknown => readCalibration({ ...said, [key]: value }, place);
    const stated = options[key] ?? inFile[key];
    if (stated !== undefined) check(stated);
    said[key] = stated ?? (await ask(question, `--${key}`, '', check));
    return said[key];
  };
  const { covers, uncertainty, accuracy, found, left, correction } = options;
  return {
    ...inFile,
    certificate: await needed('certificate', 'Number of the certificate'),
    laboratory: await needed('laboratory', 'Laboratory'),
    date: await needed('date', 'Date of the calibration, year-month-day'),
    due: await needed('due', 'Last day it is good for'),
    ...(covers === undefined ? {} : { covers }),
    ...(uncertainty === undefined ? {} : { uncertainty }),
    ...(accuracy === undefined ? {} : { accuracy }),
    ...(found.length === 0 ? {} : { as_found: found.map((text) => shown('--found', text)) }),
    ...(left.length === 0 ? {} : { as_left: left.map((text) => shown('--left', text)) }),
    ...(correction.length === 0 ? {} : { corrections: correction.map(added) }),
  };
}

function enterIfNew(store: Store, gauge: ShopGauge | ShopProbe): void {
  const { driver, settings } = gauge;
  if (store.acts('gauge entered', { subject: gauge.spec.serial }).length > 0) return;
  const how = { name: driver, ...settings };
  if (isProbe(gauge)) store.addProbe({ spec: gauge.spec, driver: how });
  else store.addGauge({ spec: gauge.spec, driver: how });
}

function added(text: string): { at: string; add: string } {
  const [at, add] = halves(
    text,
    '--correction',
    'Write what the gauge shows and what to add to it: --correction "100 bar=-0.1 bar".',
  );
  return { at, add };
}

function shown(option: '--found' | '--left', text: string): { reference: string; shown: string } {
  const [reference, read] = halves(
    text,
    option,
    `Write the reference and what the gauge showed: ${option} "100 bar=100.2 bar".`,
  );
  return { reference, shown: read };
}

function halves(text: string, key: string, advice: string): [string, string] {
  const [first, second, ...more] = text.split('=').map((part) => part.trim());
  if (first && second && more.length === 0) return [first, second];
  throw new DwellmarkError('input', `"${text}" is not two pressures with = between`, { place: { key }, advice });
}

function demandSense(calibration: CalibrationSpec, gauge: ShopGauge | ShopProbe, today: string): void {
  const wrong = (key: string, message: string, advice: string): DwellmarkError =>
    new DwellmarkError('input', message, { place: { key }, advice });
  if (calibration.date > today)
    throw wrong('--date', `a calibration of ${calibration.date} has not been made yet`, 'Look at the date.');
  if (isProbe(gauge)) return;
  const { rangeLowPa, rangeHighPa } = gauge.spec;
  const marginPa = 0.05 * (rangeHighPa - rangeLowPa);
  const outside = (pa: number): boolean => pa < rangeLowPa - marginPa || pa > rangeHighPa + marginPa;
  if ((calibration.corrections ?? []).some(({ atPa }) => outside(atPa)))
    throw wrong('--correction', "a correction lies outside the gauge's range", 'Look at its unit.');
  const points = [...(calibration.asFound ?? []), ...(calibration.asLeft ?? [])];
  if (points.some(({ referencePa, shownPa }) => outside(referencePa) || outside(shownPa)))
    throw wrong('--found', "a point lies outside the gauge's range", 'Look at its unit.');
  const farOff = points.find(({ referencePa, shownPa }) => Math.abs(shownPa - referencePa) > 2 * marginPa);
  if (farOff)
    throw wrong(
      '--found',
      'at one point the gauge is off by more than a tenth of its range',
      'Look at both pressures.',
    );
}

const media: Readonly<Record<string, { readonly name: string; readonly start: readonly number[] }>> = {
  '.pdf': { name: 'application/pdf', start: [0x25, 0x50, 0x44, 0x46] },
  '.png': { name: 'image/png', start: [0x89, 0x50, 0x4e, 0x47] },
  '.jpg': { name: 'image/jpeg', start: [0xff, 0xd8] },
  '.jpeg': { name: 'image/jpeg', start: [0xff, 0xd8] },
};

function readAttachment(file: string): { media: string; bytes: Buffer } {
  const kind = media[path.extname(file).toLowerCase()];
  const bytes = readGivenFile(file, { what: "certificate's file", most: fileLimits.attachment });
  if (kind?.start.every((byte, index) => bytes[index] === byte)) return { media: kind.name, bytes };
  throw new DwellmarkError('input', 'this is no PDF, PNG or JPEG', {
    place: { file },
    advice: 'Give the certificate as the laboratory sent it, or a scan of it.',
  });
}
