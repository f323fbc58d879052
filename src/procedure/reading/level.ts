import { DwellmarkError, parseQuantity } from '../../units/index.js';
import type { Level } from '../procedure.js';

const number = String.raw`(\d+(?:\.\d+)?)`;
const timesRated = new RegExp(String.raw`^\s*${number}\s*[x×]\s*rated\s*$`);
const percentOf = new RegExp(String.raw`^\s*${number}\s*%(?:\s*of\s+(rated|test|target))?\s*$`);

/** What a plain `106 %` is a share of, where the file does not say. */
export type Share = 'test' | 'target';

/**
 * Reads a pressure level: `5 bar`, `1.5 x rated`, `25 % of test`, `106 %`.
 * `test` is the highest stage target of the procedure, `target` the stage's own.
 * @param share what a percentage without `of` refers to; null: it must say.
 * @throws DwellmarkError (`input`) when it is none of these, or not more than zero.
 * @example parseLevel('1.5 x rated', null) // { of: 'rated', fraction: 1.5, text: '1.5 x rated' }
 */
export function parseLevel(text: string, share: Share | null): Level {
  const level = read(text, share);
  const size = level.of === 'itself' ? level.pa : level.fraction;
  if (!(size > 0)) throw new DwellmarkError('input', `"${text}" is not more than zero`);
  return level;
}

/**
 * Reads a width of a band: like a level, and zero is allowed. A percentage is of the stage's target.
 * @example parseWidth('2 %') // { of: 'target', fraction: 0.02, text: '2 %' }
 */
export function parseWidth(text: string): Level {
  const level = read(text, 'target');
  if (level.of === 'itself' && level.pa < 0) throw new DwellmarkError('input', `"${text}" is negative`);
  return level;
}

function read(text: string, share: Share | null): Level {
  const rated = timesRated.exec(text);
  if (rated) return { of: 'rated', fraction: Number(rated[1]), text };
  const percent = percentOf.exec(text);
  const of = percent?.[2] ?? share;
  if (percent) {
    if (of !== 'rated' && of !== 'test' && of !== 'target')
      throw new DwellmarkError('input', `"${text}" does not say of what`, {
        advice: 'Write "1.5 x rated", "25 % of test" (of the highest stage), or a pressure.',
      });
    return { of, fraction: Number(percent[1]) / 100, text };
  }
  if (/rated|test|target/.test(text))
    throw new DwellmarkError('input', `"${text}" is not a pressure level`, {
      advice: 'Write "1.5 x rated", "25 % of test" (of the highest stage), or a pressure such as "5 bar".',
    });
  return { of: 'itself', pa: parseQuantity(text, 'pressure'), text };
}
