import { compilePattern } from '../wire/line-pattern.js';
import { readPressureUnit, readTemperatureUnit } from '../wire/wire-unit.js';
import type { LineRoles } from './line-roles.js';

/**
 * The places of a line where a person said how it looks. Undefined when no line fits.
 * @throws DwellmarkError (`input`) for a pattern that can't be.
 */
export function rolesAsGiven(pattern: string, lines: readonly string[], checksumDigits: number): LineRoles | undefined {
  const { shape, parts } = compilePattern(pattern, checksumDigits === 4 ? 4 : 2);
  const read = lines.map((line) => shape.exec(line)?.groups).filter((groups) => groups !== undefined);
  const [first] = read;
  if (!first) return undefined;
  const measures = parts.has('pressure') ? 'pressure' : 'oil';
  return {
    pattern,
    unit: readPressureUnit(first.unit ?? ''),
    oilUnit: readTemperatureUnit(first.oil_unit ?? ''),
    measures,
    measuredTexts: read.map((groups) => groups[measures] ?? ''),
  };
}
