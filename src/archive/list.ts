import type postgres from 'postgres';
import type { Verdict } from '../evaluation/index.js';
import type { TestFilter, TestLine } from '../record/index.js';
import { archiveError } from './archive-error.js';
import type { Archive } from './connect.js';

/** Which tests of which benches. As in a store, but dates are days of UTC and a list always has an end. */
export interface ArchiveFilter extends TestFilter {
  readonly bench?: string;
  readonly limit: number;
}

/** A line of a list across benches: `test` is the number within its bench. */
export interface ArchiveLine extends Omit<TestLine, 'head'> {
  readonly bench: string;
}

interface Row {
  readonly bench: string;
  readonly test: string;
  readonly started_at: Date;
  readonly customer: string;
  readonly serial: string;
  readonly work_order: string;
  readonly gauge: string;
  readonly technician: string;
  readonly procedure: string;
  readonly origin: TestLine['origin'];
  readonly verdict: Verdict | null;
  readonly readings: number | null;
  readonly acts: readonly { readonly kind: string; readonly subject: string | null }[] | null;
}

/** Tests of all benches that this login may read, newest first unless told otherwise. */
export async function listArchive({ sql, name }: Archive, filter: ArchiveFilter): Promise<ArchiveLine[]> {
  const direction = filter.order === 'oldest first' ? sql`ASC` : sql`DESC`;
  const rows = await sql<Row[]>`
    WITH found AS (
      SELECT test.bench, test.test, test.started_at, customer, serial, work_order, gauge, technician, procedure,
        header, verdict, readings
      FROM test LEFT JOIN seal USING (bench, test, year)
      WHERE ${wants(sql, filter).reduce((all, next) => sql`${all} AND ${next}`, sql`true`)}
      ORDER BY ${isSealed(filter) ? sql`seal.started_at` : sql`test.started_at`} ${direction} LIMIT ${filter.limit}
    )
    SELECT bench.name AS bench, found.test, started_at, customer, serial, work_order, gauge, technician, procedure,
      header::jsonb ->> 'origin' AS origin, verdict, readings,
      (SELECT jsonb_agg(jsonb_build_object('kind', kind, 'subject', subject) ORDER BY position) FROM ledger
       WHERE ledger.bench = found.bench AND ledger.test = found.test AND kind IN
         ('signed', 'certificate issued', 'certificate voided', 'test voided')) AS acts
    FROM found JOIN bench ON bench.id = found.bench ORDER BY started_at ${direction}, found.test`.catch((cause) => {
    throw archiveError(cause, name);
  });
  return rows.map(asLine);
}

type Want = postgres.PendingQuery<postgres.Row[]>;

/** The columns that the index on words covers, as it covers them. */
const words = `lower(customer || E'\\n' || serial || E'\\n' || work_order || E'\\n' || technician)`;

function wants(sql: postgres.Sql, filter: ArchiveFilter): Want[] {
  const found: Want[] = [];
  const anywhere = (column: string, text: string | undefined): void => {
    if (text === undefined) return;
    const pattern = `%${text.toLowerCase().replace(/[\\%_]/g, '\\$&')}%`;
    found.push(sql`${sql.unsafe(words)} LIKE ${pattern}`, sql`lower(${sql(column)}) LIKE ${pattern}`);
  };
  anywhere('customer', filter.customer);
  anywhere('serial', filter.serial);
  anywhere('work_order', filter.workOrder);
  if (filter.bench !== undefined) found.push(sql`test.bench = (SELECT id FROM bench WHERE name = ${filter.bench})`);
  if (filter.gauge !== undefined) found.push(sql`gauge = ${filter.gauge}`);
  if (filter.procedure !== undefined) found.push(sql`procedure = ${filter.procedure}`);
  if (filter.person !== undefined)
    found.push(sql`(technician ILIKE ${`%${filter.person}%`} OR (test.bench, test.test) IN
      (SELECT bench, test FROM ledger WHERE kind = 'signed' AND subject = ${filter.person}))`);
  if (filter.verdict === 'unsealed') found.push(sql`seal.test IS NULL`);
  else if (filter.verdict !== undefined) found.push(sql`verdict = ${filter.verdict}`);
  if (filter.since !== undefined) found.push(sql`test.started_at >= ${filter.since}::timestamptz`);
  if (filter.until !== undefined)
    found.push(
      /^\d{4}-\d{2}-\d{2}$/.test(filter.until)
        ? sql`test.started_at < ${filter.until}::timestamptz + interval '1 day'`
        : sql`test.started_at < ${filter.until}::timestamptz`,
    );
  if (filter.text !== undefined)
    found.push(sql`to_tsvector('simple', words) @@ to_tsquery('simple', ${wordQuery(filter.text)})`);
  return found;
}

/** What can only hold of sealed tests is looked for among the seals, in their order. */
const isSealed = ({ verdict, text }: ArchiveFilter): boolean =>
  text !== undefined || (verdict !== undefined && verdict !== 'unsealed');

/** Every word must occur, each may go on. Operators are plain words. */
const wordQuery = (text: string): string =>
  (text.match(/[\p{L}\p{N}]+/gu) ?? []).map((word) => `${word}:*`).join(' & ');

function asLine(row: Row): ArchiveLine {
  const of = (kind: string) => (row.acts ?? []).filter((act) => act.kind === kind).map((act) => act.subject ?? '');
  const voided = new Set(of('certificate voided'));
  return {
    bench: row.bench,
    test: row.test,
    startedAt: row.started_at.toISOString(),
    customer: row.customer,
    serial: row.serial,
    workOrder: row.work_order,
    gauge: row.gauge,
    technician: row.technician,
    procedure: row.procedure,
    origin: row.origin,
    verdict: row.verdict,
    readings: row.readings,
    signatures: of('signed').length,
    certificates: of('certificate issued').filter((number) => !voided.has(number)),
    voided: of('test voided').length > 0,
  };
}
