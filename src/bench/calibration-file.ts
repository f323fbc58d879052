import path from 'node:path';
import { readToml } from '../procedure/index.js';
import { fileLimits, readGivenText } from '../record/index.js';
import { DwellmarkError, findUnit } from '../units/index.js';

/** Fields of a calibration as a person writes them, for `readCalibration`. */
export type CalibrationFields = Readonly<Record<string, unknown>>;

/**
 * Reads what is known of a calibration from a file: TOML with the fields of a calibration (`certificate`, `date`,
 * `covers`, `as_found = [{ reference = "100 bar", shown = "100.2 bar" }]`, `corrections = [{ at, add }]`), or CSV with
 * one point a row under `reference_bar`, `as_found_bar`, `as_left_bar`, `correction_bar` (or another unit of pressure).
 * A correction of the CSV stands at what the gauge showed as left, else as found, else at the reference.
 * @throws DwellmarkError (`input`) with file, line and column.
 */
export function readCalibrationFile(file: string): CalibrationFields {
  const text = readGivenText(file, { what: 'file of points', most: fileLimits.text });
  return path.extname(file).toLowerCase() === '.toml' ? readToml(text, { file }).data : pointsOf(text, file);
}

const columnNames = ['reference', 'as_found', 'as_left', 'correction'] as const;
type ColumnName = (typeof columnNames)[number];

interface Column {
  readonly name: ColumnName;
  readonly unit: string;
  readonly at: number;
}

function pointsOf(text: string, file: string): CalibrationFields {
  const rows = text
    .replace(/^\uFEFF/, '')
    .split(/\r?\n/)
    .map((row, index) => ({ cells: row.split(/[,;]/).map((cell) => cell.trim()), line: index + 1 }))
    .filter(({ cells }) => cells.some((cell) => cell !== '') && !cells[0]?.startsWith('#'));
  const [head, ...body] = rows;
  const columns = (head?.cells ?? []).map((cell, at) => columnOf(cell, at, { file, line: head?.line ?? 1 }));
  const reference = columns.find(({ name }) => name === 'reference');
  if (!reference || columns.length < 2 || body.length === 0)
    throw new DwellmarkError('input', 'the file has no points', {
      place: { file },
      advice: `Its first row names the columns, for example: ${columnNames.map((name) => `${name}_bar`).join(',')}.`,
    });
  const lists: Record<'as_found' | 'as_left' | 'corrections', object[]> = {
    as_found: [],
    as_left: [],
    corrections: [],
  };
  for (const { cells, line } of body) {
    const cell = (name: ColumnName): string | undefined => {
      const column = columns.find((one) => one.name === name);
      const written = column && cells[column.at];
      if (!column || !written) return undefined;
      if (Number.isFinite(Number(written))) return `${written} ${column.unit}`;
      throw new DwellmarkError('input', `"${written}" is no number`, { place: { file, line, key: name } });
    };
    const standard = cell('reference');
    if (standard === undefined)
      throw new DwellmarkError('input', 'a point has no reference', { place: { file, line, key: 'reference' } });
    const [found, left, add] = [cell('as_found'), cell('as_left'), cell('correction')];
    if (found !== undefined) lists.as_found.push({ reference: standard, shown: found });
    if (left !== undefined) lists.as_left.push({ reference: standard, shown: left });
    if (add !== undefined) lists.corrections.push({ at: left ?? found ?? standard, add });
  }
  return Object.fromEntries(Object.entries(lists).filter(([, list]) => list.length > 0));
}

function columnOf(cell: string, at: number, place: { readonly file: string; readonly line: number }): Column {
  const match = /^(reference|as_found|as_left|correction)_(\S+)$/.exec(cell);
  const name = columnNames.find((one) => one === match?.[1]);
  const unit = match?.[2] === 'kgfcm2' ? 'kgf/cm2' : (match?.[2] ?? '');
  if (name && findUnit('pressure', unit)) return { name, unit, at };
  throw new DwellmarkError('input', `the column "${cell}" is not known`, {
    place: { ...place, column: at + 1 },
    advice: `Known: ${columnNames.map((one) => `${one}_bar`).join(', ')}; the unit may be another.`,
  });
}
