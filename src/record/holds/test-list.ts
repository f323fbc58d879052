import type Database from 'better-sqlite3';
import type { Verdict } from '../../evaluation/index.js';
import { DwellmarkError } from '../../units/index.js';
import { dayOrTime } from './day-or-time.js';
import { fullTextQuery } from './search-index.js';
import { fold } from './summary-row.js';

/** Which tests to list. Everything given must hold; a text is looked for anywhere in its field, whatever its case. */
export interface TestFilter {
  readonly customer?: string;
  /** The cylinder's. */
  readonly serial?: string;
  readonly workOrder?: string;
  readonly gauge?: string;
  readonly procedure?: string;
  /** Who ran it or signed it. */
  readonly person?: string;
  readonly verdict?: Verdict | 'unsealed';
  readonly origin?: string;
  /** Dates (`2026-03-14`, the whole day) or points in time (ISO 8601). */
  readonly since?: string;
  readonly until?: string;
  /** Words in the header or in the notes of a sealed test. */
  readonly text?: string;
  readonly order?: 'newest first' | 'oldest first';
  /** Without it all are listed. */
  readonly limit?: number;
}

/** A line of a list of tests. */
export interface TestLine {
  readonly test: string;
  readonly startedAt: string;
  readonly customer: string;
  readonly serial: string;
  readonly workOrder: string;
  readonly gauge: string;
  readonly technician: string;
  readonly procedure: string;
  readonly origin: string;
  /** Null while it is not sealed. */
  readonly verdict: Verdict | null;
  readonly head: string | null;
  readonly readings: number | null;
  readonly signatures: number;
  /** Numbers of its certificates, issued and not voided. */
  readonly certificates: readonly string[];
  readonly voided: boolean;
}

/**
 * A line as SQLite writes it: one text a test is read several times faster than a row of columns, and what people did
 * about a test is told by an index alone.
 */
const lineAsJson = `json_object(
  'test', test.test, 'startedAt', started_at, 'customer', customer, 'serial', serial, 'workOrder', work_order,
  'gauge', gauge, 'technician', technician, 'procedure', procedure, 'origin', origin,
  'verdict', seal.verdict, 'head', iif(seal.head IS NULL, NULL, lower(hex(seal.head))), 'readings', seal.readings,
  'signatures', (SELECT count(*) FROM ledger WHERE ledger.test = test.test AND kind = 'signed'),
  'certificates', json((SELECT json_group_array(subject ORDER BY position) FROM ledger AS issued
    WHERE issued.test = test.test AND kind = 'certificate issued' AND NOT EXISTS (
      SELECT 1 FROM ledger AS struck
      WHERE struck.test = issued.test AND struck.kind = 'certificate voided' AND struck.subject = issued.subject))),
  'voided', json(iif(EXISTS (SELECT 1 FROM ledger WHERE ledger.test = test.test AND kind = 'test voided'),
    'true', 'false')))`;

const textFields = ['customer', 'serial', 'workOrder', 'gauge', 'procedure'] as const;

/** Tests by what is asked, newest first unless told otherwise. */
export function listTests(db: Database.Database, filter: TestFilter): TestLine[] {
  const { sql, values } = query(db, filter);
  const lines: TestLine[] = [];
  for (const line of db
    .prepare<unknown[], string>(sql)
    .pluck()
    .iterate(...values))
    lines.push(JSON.parse(line));
  return lines;
}

/**
 * The query for the lines, in order. Tests are gone through in the order of their start (the `+` keeps the other indexes
 * from leading), so that a limit ends the search early; what is asked of other tables is looked up once, in an index.
 */
function query(db: Database.Database, filter: TestFilter): { sql: string; values: (string | number)[] } {
  const wants: string[] = [];
  const values: (string | number)[] = [];
  const want = (sql: string, ...given: (string | number)[]): void => {
    wants.push(sql);
    values.push(...given);
  };
  for (const field of textFields) {
    const text = filter[field];
    if (text !== undefined) want(`instr(${foldedColumn[field]}, ?) > 0`, fold(text));
  }
  if (filter.person !== undefined) {
    const ids = signersLike(db, filter.person);
    const signed = `EXISTS (SELECT 1 FROM ledger WHERE ledger.test = test.test AND kind = 'signed'
      AND subject IN (${ids.map(() => '?').join(', ')}))`;
    want(
      `(instr(${foldedColumn.technician}, ?) > 0 ${ids.length > 0 ? `OR ${signed}` : ''})`,
      fold(filter.person),
      ...ids,
    );
  }
  if (filter.origin !== undefined) want('origin = ?', filter.origin);
  if (filter.verdict === 'unsealed')
    want('NOT EXISTS (SELECT 1 FROM seal INDEXED BY seal_test WHERE seal.test = test.id)');
  else if (filter.verdict !== undefined) want('+test.id IN (SELECT test FROM seal WHERE verdict = ?)', filter.verdict);
  if (filter.since !== undefined) want('started_ms >= ?', dayOrTime(filter.since, 'since', 0));
  if (filter.until !== undefined) want('started_ms < ?', dayOrTime(filter.until, 'until', 1));
  if (filter.text !== undefined) {
    const words = fullTextQuery(filter.text);
    if (words === '')
      throw new DwellmarkError('usage', `"${filter.text}" holds no word to look for`, { place: { key: 'text' } });
    want('+test.id IN (SELECT rowid FROM search WHERE search MATCH ?)', words);
  }
  const direction = filter.order === 'oldest first' ? 'ASC' : 'DESC';
  const where = wants.length === 0 ? '' : `WHERE ${wants.join(' AND ')}`;
  const limit = filter.limit === undefined ? '' : `LIMIT ${Math.max(0, Math.trunc(filter.limit))}`;
  return {
    sql: `SELECT ${lineAsJson} FROM test LEFT JOIN seal ON seal.test = test.id
      ${where} ORDER BY started_ms ${direction}, id ${direction} ${limit}`,
    values,
  };
}

/** Ids of the people whose id or name is like that. */
function signersLike(db: Database.Database, person: string): string[] {
  const enrolled = db
    .prepare<[], { id: string; name: string }>(
      "SELECT subject AS id, line ->> '$.body.name' AS name FROM ledger WHERE kind = 'signer enrolled'",
    )
    .all();
  return enrolled.filter(({ id, name }) => id === person || fold(name).includes(fold(person))).map(({ id }) => id);
}

/** The column that holds a field folded. */
const foldedColumn = {
  customer: 'customer_folded',
  serial: 'serial_folded',
  workOrder: 'work_order_folded',
  gauge: 'gauge_folded',
  technician: 'technician_folded',
  procedure: 'procedure_folded',
} as const;
