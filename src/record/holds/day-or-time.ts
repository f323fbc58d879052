import { DwellmarkError } from '../../units/index.js';

/**
 * Milliseconds of a point in time (ISO 8601), or of the start of a day (plus so many days) where this computer stands.
 * @throws DwellmarkError (`usage`) that names the key, for a text that is neither.
 */
export function dayOrTime(text: string, key: string, daysLater: number): number {
  const day = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  const ms = day ? dayMs(Number(day[1]), Number(day[2]), Number(day[3]), daysLater) : Date.parse(text);
  if (!Number.isFinite(ms))
    throw new DwellmarkError('usage', `"${text}" is no date`, { place: { key }, advice: 'Write it as 2026-03-14.' });
  return ms;
}

/** Start of a day where this computer stands, so many days later; not a number for a day that no calendar has. */
function dayMs(year: number, month: number, day: number, daysLater: number): number {
  const there = new Date(year, month - 1, day);
  if (there.getMonth() !== month - 1 || there.getDate() !== day) return Number.NaN;
  return new Date(year, month - 1, day + daysLater).getTime();
}
