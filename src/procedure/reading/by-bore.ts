import { DwellmarkError, parseQuantity } from '../../units/index.js';

/** A limit that holds up to a bore, that bore included. */
export interface BoreRow<Limit> {
  /** m; infinite where one limit holds for every bore. */
  readonly upToM: number;
  /** The bore as its author wrote it; empty where one limit holds for every bore. */
  readonly text: string;
  readonly limit: Limit;
}

/** One limit for every bore. */
export const everyBore = <Limit>(limit: Limit): readonly BoreRow<Limit>[] => [
  { upToM: Number.POSITIVE_INFINITY, text: '', limit },
];

/**
 * Reads a table by bore, `{ "63 mm" = "0.3 mL/min", "100 mm" = "0.5 mL/min" }`: each row holds for bores up to its own.
 * @throws DwellmarkError (`input`, its place the row) for a bore that is none, or stands twice; for a table without rows.
 */
export function rowsByBore<Limit>(table: Readonly<Record<string, Limit>>): readonly BoreRow<Limit>[] {
  const rows = Object.entries(table)
    .map(([text, limit]) => ({ upToM: boreM(text), text, limit }))
    .sort((a, b) => a.upToM - b.upToM);
  if (rows.length === 0)
    throw new DwellmarkError('input', 'the table has no rows', { advice: 'Write for example { "63 mm" = "…" }.' });
  for (const [index, { upToM, text }] of rows.entries())
    if (sameBore(upToM, rows[index + 1]?.upToM))
      throw new DwellmarkError('input', `the bore ${text} stands twice`, { place: { key: text } });
  return rows;
}

function boreM(text: string): number {
  const boreM = parseQuantity(text, 'length', { key: text });
  if (boreM > 0) return boreM;
  throw new DwellmarkError('input', `"${text}": a bore must be more than zero`, { place: { key: text } });
}

const sameBore = (a: number, b: number | undefined): boolean => b !== undefined && b - a < 1e-9;

/** The row for a bore: the first that reaches it; undefined for a bore above the last. */
export const rowFor = <Limit>(rows: readonly BoreRow<Limit>[], boreM: number): BoreRow<Limit> | undefined =>
  rows.find(({ upToM }) => boreM <= upToM + 1e-9);
