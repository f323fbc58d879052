import { DwellmarkError } from '../../src/gauge/index.js';
import { readTimestamp } from './timestamp.js';

/** A moment of a log: microseconds since 1970 (as UTC where no offset is given), and its ISO 8601 text. */
export interface Stamp {
  readonly us: number;
  readonly iso: string;
}

export type ReadStamp = (text: string) => Stamp | undefined;

/** ISO 8601, as it is read without a format. */
export const isoStamp: ReadStamp = (text) => {
  const us = readTimestamp(text);
  if (us === undefined) return undefined;
  const iso = text.trim().replace(' ', 'T').replace(',', '.').replace(/\s+/g, '');
  return {
    us,
    iso: iso.replace(/([+-]\d{2}):?(\d{2})?$/, (whole, hour: string, minute?: string) =>
      iso.indexOf('T') < iso.length - whole.length ? `${hour}:${minute ?? '00'}` : whole,
    ),
  };
};

const parts = {
  YYYY: '\\d{4}',
  MM: '\\d{1,2}',
  DD: '\\d{1,2}',
  HH: '\\d{1,2}',
  mm: '\\d{2}',
  ss: '\\d{2}(?:[.,]\\d{1,9})?',
};

/**
 * A reader of stamps in a given format: `DD.MM.YYYY HH:mm:ss`. Fractions of a second may follow `ss`.
 * @throws DwellmarkError (`usage`) for a format without a whole date and an hour and minute.
 * @example stampReader('DD.MM.YYYY HH:mm:ss')('14.03.2026 08:00:00')?.iso // '2026-03-14T08:00:00'
 */
export function stampReader(format: string): ReadStamp {
  const names: string[] = [];
  const source = format.trim().replace(/YYYY|MM|DD|HH|mm|ss|[^A-Za-z0-9\s]|\s+|[A-Za-z0-9]+/g, (piece) => {
    if (piece in parts) {
      names.push(piece);
      return `(${parts[piece as keyof typeof parts]})`;
    }
    return /^\s+$/.test(piece) ? '\\s+' : piece.replace(/[^A-Za-z0-9]/g, '\\$&');
  });
  const missing = ['YYYY', 'MM', 'DD', 'HH', 'mm'].find((name) => names.filter((one) => one === name).length !== 1);
  if (missing !== undefined || names.filter((one) => one === 'ss').length > 1)
    throw new DwellmarkError('usage', `--stamp: "${format}" must have YYYY, MM, DD, HH and mm once each`, {
      advice: 'For example "DD.MM.YYYY HH:mm:ss".',
    });
  const shape = new RegExp(`^${source}$`);
  return (text) => {
    const found = shape.exec(text.trim());
    if (!found) return undefined;
    const at = (name: string): string => (found[names.indexOf(name) + 1] ?? '0').replace(',', '.');
    const [whole = '0', fraction] = (names.includes('ss') ? at('ss') : '0').split('.');
    const [month, day, hour] = ['MM', 'DD', 'HH'].map((name) => at(name).padStart(2, '0'));
    return isoStamp(
      `${at('YYYY')}-${month}-${day}T${hour}:${at('mm')}:${whole.padStart(2, '0')}${fraction === undefined ? '' : `.${fraction}`}`,
    );
  };
}
