import { DwellmarkError, type ErrorPlace, parseQuantity } from '../../units/index.js';
import type { CollectedAmount } from '../procedure.js';

const inTime = /^\s*(less than\s+|<\s*)?(.+?)\s+in\s+(.+?)\s*$/;
const counted = /^(\d+)\s*drops?$/;
const advice = 'Write for example "1 mL in 3 min", "6 drops in 3 min" or "less than 1 drop in 3 min".';

/**
 * Reads an amount of oil over a time: `1 mL in 3 min`, `6 drops in 3 min`, `less than 1 drop in 3 min`.
 * @throws DwellmarkError (`input`) when it is none of these.
 * @example parseCollected('1 mL in 3 min') // { volumeM3: 1e-6, overS: 180 }
 */
export function parseCollected(text: string, place: ErrorPlace = {}): CollectedAmount {
  const [, less, amount = '', time = ''] = inTime.exec(text) ?? [];
  if (amount === '')
    throw new DwellmarkError('input', `"${text}" is not an amount of oil over a time`, { place, advice });
  const overS = parseQuantity(time, 'time', place);
  if (!(overS > 0)) throw new DwellmarkError('input', `"${text}": the time must be more than zero`, { place, advice });
  const lessThan = less === undefined ? {} : { lessThan: true as const };
  const drops = counted.exec(amount)?.[1];
  const size = drops === undefined ? { volumeM3: parseQuantity(amount, 'volume', place) } : { drops: Number(drops) };
  const value = 'drops' in size ? size.drops : size.volumeM3;
  if (value < 0 || (less !== undefined && value === 0))
    throw new DwellmarkError('input', `"${text}": nothing is less than that`, { place, advice });
  return { ...size, overS, ...lessThan };
}
