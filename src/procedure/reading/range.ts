import { DwellmarkError, findUnit, type Pressure, pressurePa, toSi } from '../../units/index.js';

export interface Range {
  readonly text: string;
  readonly lowPa: Pressure;
  readonly highPa: Pressure;
  readonly unit: string;
}

/**
 * Reads `0..400 bar`, also written `0-400 bar` or `400 bar`.
 * @example parseRange('0..400 bar').highPa // 4e7
 */
export function parseRange(text: string): Range {
  const match =
    /^\s*(?:([+-]?\d+(?:\.\d+)?)\s*(?:\.\.|-|\u2013|to\s)\s*)?([+-]?\d+(?:\.\d+)?)\s*([^\s\d]\S*)?\s*$/.exec(text);
  const advice = 'Write low..high and the unit, for example "0..400 bar".';
  if (!match) throw new DwellmarkError('input', `"${text}" is not a range`, { advice });
  const unitName = match[3] ?? '';
  const unit = findUnit('pressure', unitName);
  if (!unit)
    throw new DwellmarkError('input', `the range "${text}" has ${unitName === '' ? 'no' : 'an unknown'} unit`, {
      advice,
    });
  const [lowPa, highPa] = [toSi(Number(match[1] ?? 0), unit), toSi(Number(match[2]), unit)];
  if (!(highPa > lowPa) || !(highPa > 0))
    throw new DwellmarkError('input', `the range "${text}" does not run upwards past zero`, { advice });
  return { text, lowPa: pressurePa(lowPa), highPa: pressurePa(highPa), unit: unitName };
}
