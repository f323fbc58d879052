import {
  closeSync,
  fsyncSync,
  openSync,
  readFileSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { stringify } from 'smol-toml';
import { DwellmarkError } from '../units/index.js';
import { readShop, type Shop } from './shop.js';

type LineValue = string | number | Readonly<Record<string, string | number | readonly number[]>>;

/** A gauge as it is written into the shop file: keys and texts as they stand there. */
export interface GaugeEntry {
  readonly serial: string;
  readonly maker?: string;
  readonly model?: string;
  readonly range: string;
  readonly resolution: string;
  readonly accuracy: string;
  readonly driver: string;
  /** The `[gauge.line]` table. */
  readonly line: Readonly<Record<string, LineValue>>;
}

/**
 * Puts a gauge at the end of the shop file; what stands there stays as it is, comments too. The new text is written
 * beside the file, read as a shop, and only then takes its place in one step.
 * @throws DwellmarkError (`input`) when the shop file would no longer be right: nothing has changed then.
 */
export function addGaugeToShop(shop: Shop, entry: GaugeEntry): Shop {
  if (shop.gauges.some(({ spec }) => spec.serial === entry.serial)) throw listedAlready(shop, entry.serial);
  const file = realpathSync(shop.file);
  const before = readFileSync(file, 'utf8');
  const gap = before === '' || before.endsWith('\n\n') ? '' : before.endsWith('\n') ? '\n' : '\n\n';
  const draft = `${file}.${process.pid}.new`;
  try {
    writeThrough(draft, `${before}${gap}${gaugeText(entry)}`, statSync(file).mode);
    readShop(draft);
    renameSync(draft, file);
  } catch (cause) {
    rmSync(draft, { force: true });
    if (!(cause instanceof DwellmarkError)) throw cause;
    throw new DwellmarkError('input', cause.message, {
      place: { file: shop.file, ...(cause.place.key === undefined ? {} : { key: cause.place.key }) },
      ...(cause.advice === undefined ? {} : { advice: cause.advice }),
      cause,
    });
  }
  return readShop(shop.file);
}

/** The table as text, ending in one newline. */
export const gaugeText = (entry: GaugeEntry): string => `${stringify({ gauge: [entry] }).trim()}\n`;

export const listedAlready = (shop: Shop, serial: string): DwellmarkError =>
  new DwellmarkError('refused', `gauge ${serial} is in the shop file already`, {
    place: { file: shop.file, key: 'gauge' },
    advice:
      'To read it another way, edit its table there; a new calibration is entered with `dwellmark gauge calibrate`.',
  });

function writeThrough(file: string, text: string, mode: number): void {
  const out = openSync(file, 'wx', mode);
  try {
    writeSync(out, text);
    fsyncSync(out);
  } finally {
    closeSync(out);
  }
}
