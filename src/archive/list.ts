import type { Verdict } from '../evaluation/index.js';
import type { TestFilter, TestLine } from '../record/index.js';
import { archiveError } from './archive-error.js';
import { shownBenches } from './bench-entry.js';
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
export async function listArchive(archive: Archive, filter: ArchiveFilter): Promise<ArchiveLine[]> {
  const { wanted, values } = conditions(filter);
  const direction = filter.order === 'oldest first' ? 'ASC' : 'DESC';
  const where = wanted.length === 0 ? '' : `WHERE ${wanted.join(' AND ')}`;
  const end = `LIMIT ${Math.trunc(filter.limit)}`;
  // What the seals alone decide is picked among them, by their own index, before a header is looked at.
  const picked = isAmongSeals(filter)
    ? `(SELECT * FROM seal ${where} ORDER BY started_at ${direction} ${end}) seal JOIN test USING (bench, test, year)`
    : `test LEFT JOIN seal USING (bench, test, year) ${where}`;
  const text = `
    WITH found AS (
      SELECT test.bench, test.test, test.started_at, customer, serial, work_order, gauge, technician, procedure,
        header, verdict, readings
      FROM ${picked}
      ORDER BY ${isSealed(filter) ? 'seal' : 'test'}.started_at ${direction} ${end}
    )
    SELECT bench.name AS bench, found.test, started_at, customer, serial, work_order, gauge, technician, procedure,
      header::jsonb ->> 'origin' AS origin, verdict, readings,
      (SELECT jsonb_agg(jsonb_build_object('kind', kind, 'subject', subject) ORDER BY position) FROM ledger
       WHERE ledger.bench = found.bench AND ledger.test = found.test AND kind IN
         ('signed', 'certificate issued', 'certificate voided', 'test voided')) AS acts
    FROM found JOIN ${shownBenches} bench ON bench.id = found.bench ORDER BY started_at ${direction}, found.test ${direction}`;
  const rows = await archive.rows<Row>(text, values).catch((cause) => {
    throw archiveError(cause, archive.name);
  });
  return rows.map(asLine);
}

/** The columns that the index on words covers, as it covers them. */
const words = `lower(customer || E'\\n' || serial || E'\\n' || work_order || E'\\n' || technician)`;

function conditions(filter: ArchiveFilter): { wanted: string[]; values: unknown[] } {
  const wanted: string[] = [];
  const values: unknown[] = [];
  const put = (value: unknown): string => `$${values.push(value)}`;
  const anywhere = (column: string, text: string | undefined): void => {
    if (text === undefined) return;
    const pattern = put(`%${text.toLowerCase().replace(/[\\%_]/g, '\\$&')}%`);
    wanted.push(`${words} LIKE ${pattern}`, `lower(${column}) LIKE ${pattern}`);
  };
  const equal = (column: string, value: string | undefined): void => {
    if (value !== undefined) wanted.push(`${column} = ${put(value)}`);
  };
  anywhere('customer', filter.customer);
  anywhere('serial', filter.serial);
  anywhere('work_order', filter.workOrder);
  if (filter.bench !== undefined)
    wanted.push(
      `${isAmongSeals(filter) ? 'seal' : 'test'}.bench = (SELECT id FROM ${shownBenches} bench WHERE name = ${put(filter.bench)})`,
    );
  if (filter.gauge !== undefined) wanted.push(`gauges @> ARRAY[${put(filter.gauge)}]`);
  equal('procedure', filter.procedure);
  if (filter.person !== undefined) {
    const [part, whole] = [put(`%${filter.person.toLowerCase()}%`), put(filter.person)];
    wanted.push(`(test.bench, test.test) IN
      (SELECT bench, test FROM test WHERE ${words} LIKE ${part} AND lower(technician) LIKE ${part}
       UNION SELECT bench, test FROM ledger WHERE kind = 'signed' AND subject = ${whole})`);
  }
  if (filter.verdict === 'unsealed') wanted.push('seal.test IS NULL');
  else equal('verdict', filter.verdict);
  const started = `${isSealed(filter) ? 'seal' : 'test'}.started_at`;
  if (filter.since !== undefined) wanted.push(`${started} >= ${put(filter.since)}::timestamptz`);
  if (filter.until !== undefined) {
    const day = /^\d{4}-\d{2}-\d{2}$/.test(filter.until) ? " + interval '1 day'" : '';
    wanted.push(`${started} < ${put(filter.until)}::timestamptz${day}`);
  }
  if (filter.text !== undefined)
    wanted.push(`to_tsvector('simple', words) @@ to_tsquery('simple', ${put(wordQuery(filter.text))})`);
  return { wanted, values };
}

/** What can only hold of sealed tests is looked for among the seals, in their order. */
const isSealed = ({ verdict, text }: ArchiveFilter): boolean =>
  text !== undefined || (verdict !== undefined && verdict !== 'unsealed');

/** Such a list that asks for nothing that stands in a header. */
const isAmongSeals = (filter: ArchiveFilter): boolean =>
  isSealed(filter) &&
  [filter.customer, filter.serial, filter.workOrder, filter.gauge, filter.procedure, filter.person].every(
    (asked) => asked === undefined,
  );

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
