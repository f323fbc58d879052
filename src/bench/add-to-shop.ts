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

type LineValue = string | number | readonly number[] | Readonly<Record<string, string | number | readonly number[]>>;

interface Entry {
  readonly serial: string;
  readonly maker?: string;
  readonly model?: string;
  readonly driver: string;
  /** The `[gauge.line]` or `[probe.line]` table. */
  readonly line: Readonly<Record<string, LineValue>>;
}

/** A gauge as it is written into the shop file: keys and texts as they stand there. */
export interface GaugeEntry extends Entry {
  readonly range: string;
  readonly resolution: string;
  readonly accuracy: string;
}

/** The same of an oil probe. */
export interface ProbeEntry extends Entry {
  readonly range?: string;
  readonly resolution?: string;
  readonly accuracy?: string;
}

/** What is to be added, under the name of its table. */
export type NewInstrument =
  | { readonly kind: 'gauge'; readonly entry: GaugeEntry }
  | { readonly kind: 'probe'; readonly entry: ProbeEntry };

/**
 * Puts a gauge or an oil probe at the end of the shop file; what stands there stays as it is, comments too. The new
 * text is written beside the file, read as a shop, and only then takes its place in one step.
 * @throws DwellmarkError (`input`) when the shop file would no longer be right: nothing has changed then.
 */
export function addToShop(shop: Shop, instrument: NewInstrument): Shop {
  demandNew(shop, instrument.entry.serial);
  const file = realpathSync(shop.file);
  const before = readFileSync(file, 'utf8');
  const gap = before === '' || before.endsWith('\n\n') ? '' : before.endsWith('\n') ? '\n' : '\n\n';
  const draft = `${file}.${process.pid}.new`;
  try {
    writeThrough(draft, `${before}${gap}${tableText(instrument)}`, statSync(file).mode);
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
export const tableText = ({ kind, entry }: NewInstrument): string => `${stringify({ [kind]: [entry] }).trim()}\n`;

/** @throws DwellmarkError (`refused`) when an instrument of that serial is known already. */
export function demandNew(shop: Shop, serial: string): void {
  const key = shop.gauges.some(({ spec }) => spec.serial === serial)
    ? 'gauge'
    : shop.probes.some(({ spec }) => spec.serial === serial)
      ? 'probe'
      : null;
  if (key === null) return;
  throw new DwellmarkError(
    'refused',
    `${key === 'probe' ? 'oil probe' : 'gauge'} ${serial} is in the shop file already`,
    {
      place: { file: shop.file, key },
      advice:
        'To read it another way, edit its table there; a new calibration is entered with `dwellmark gauge calibrate`.',
    },
  );
}

function writeThrough(file: string, text: string, mode: number): void {
  const out = openSync(file, 'wx', mode);
  try {
    writeSync(out, text);
    fsyncSync(out);
  } finally {
    closeSync(out);
  }
}
