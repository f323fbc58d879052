import { correctionAt, driftRows } from '../../gauge/index.js';
import type { CalibrationSpec } from '../../procedure/index.js';
import type { EnteredCalibration } from '../../record/index.js';
import { fromSiDifference, fromSiLevel } from './calibration-figures.js';
import type { GaugeScale } from './gauge-text.js';

/** Rows of words under a head, each column as wide as its widest. */
export function tableLines(rows: readonly (readonly string[])[], right: readonly number[] = []): string[] {
  const widths = rows.reduce<number[]>((most, row) => row.map((cell, at) => Math.max(most[at] ?? 0, cell.length)), []);
  const padded = (cell: string, at: number): string =>
    right.includes(at) ? cell.padStart(widths[at] ?? 0) : cell.padEnd(widths[at] ?? 0);
  return rows.map((row) => row.map(padded).join('  ').trimEnd());
}

type Shown = CalibrationSpec & Partial<Pick<EnteredCalibration, 'attachment'>>;

/**
 * The calibrations of a gauge, newest first, the one in force marked: paper, days, pressures covered, uncertainty, and
 * the kept file.
 */
export function historyLines(calibrations: readonly Shown[], inForce: string | undefined, scale: GaugeScale): string[] {
  const rows = newestFirst(calibrations).map((one) => [
    one.certificate === inForce ? '>' : ' ',
    one.certificate,
    one.laboratory,
    one.date,
    one.due,
    covers(one, scale),
    uncertainty(one, scale),
    one.attachment ? one.attachment.slice(0, 12) : '–',
  ]);
  return tableLines([[' ', 'Certificate', 'Laboratory', 'Date', 'Due', 'Covers', 'U (k = 2)', 'File'], ...rows]);
}

/**
 * Each calibration with points, newest first: how far off the gauge came in and left, what adjusting did, how far it had
 * drifted since the calibration before, and the correction that is applied there.
 */
export function pointLines(calibrations: readonly CalibrationSpec[], scale: GaugeScale): string[] {
  const byDate = newestFirst(calibrations);
  return byDate.flatMap((one, index) => {
    const before = byDate[index + 1];
    const rows = driftRows(one, before);
    const table = one.corrections ?? [];
    if (rows.length === 0) return correctionLines(one, scale);
    const off = (pa: number | null): string => (pa === null ? '–' : fromSiDifference(pa, scale));
    const cells = rows.map(({ referencePa, foundPa, leftPa, adjustedPa, driftedPa }) => [
      '',
      fromSiLevel(referencePa, scale),
      off(foundPa),
      off(leftPa),
      off(adjustedPa),
      off(driftedPa),
      table.length === 0 ? '–' : off(correctionAt(table, referencePa)),
    ]);
    const since = before === undefined ? 'Drifted' : `Since ${before.certificate}`;
    const head = ['', 'Reference', 'As found', 'As left', 'Adjusted', since, 'Correction'];
    return [
      '',
      `${one.certificate}, shown less reference, ${scale.unit}:`,
      ...tableLines([head, ...cells], [1, 2, 3, 4, 5, 6]),
    ];
  });
}

/** A certificate that states nothing but what to add. */
function correctionLines({ certificate, corrections = [] }: CalibrationSpec, scale: GaugeScale): string[] {
  if (corrections.length === 0) return [];
  const cells = corrections.map(({ atPa, addPa }) => ['', fromSiLevel(atPa, scale), fromSiDifference(addPa, scale)]);
  return ['', `${certificate}, ${scale.unit}:`, ...tableLines([['', 'Shown', 'Correction'], ...cells], [1, 2])];
}

const newestFirst = <One extends CalibrationSpec>(calibrations: readonly One[]): readonly One[] =>
  [...calibrations].sort((a, b) => b.date.localeCompare(a.date));

function covers({ coversLowPa, coversHighPa }: CalibrationSpec, scale: GaugeScale): string {
  if (coversLowPa === undefined || coversHighPa === undefined) return 'not stated';
  return `${fromSiLevel(coversLowPa, { ...scale, decimals: 0 })} to ${fromSiLevel(coversHighPa, { ...scale, decimals: 0 })} ${scale.unit}`;
}

function uncertainty({ expandedUPa, expandedUK }: CalibrationSpec, scale: GaugeScale): string {
  if (expandedUK !== undefined) return `${expandedUK} K`;
  return expandedUPa === undefined ? '–' : `${fromSiDifference(expandedUPa, scale).replace('+', '')} ${scale.unit}`;
}
