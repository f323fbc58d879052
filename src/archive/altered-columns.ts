import type { Problem } from '../audit/index.js';
import type { LedgerLine, TestHeader, TestSeal } from '../record/index.js';
import { archiveError } from './archive-error.js';
import type { BenchEntry } from './bench-entry.js';
import type { Archive } from './connect.js';

/**
 * Columns that a bench's tests are listed and recalled by, held against the header, seal and ledger line that they were
 * drawn from: the database's owner can change them, and no hash covers them.
 * @param tests only these; all when absent.
 */
export async function alteredColumns(
  archive: Archive,
  bench: BenchEntry,
  tests?: readonly string[],
): Promise<readonly Problem[]> {
  try {
    return [...(await ofTests(archive, bench, tests)), ...(await ofLedger(archive, bench))];
  } catch (cause) {
    throw archiveError(cause, archive.name);
  }
}

const rowsAtATime = 500;

interface TestColumns {
  readonly test: string;
  readonly started_at: Date;
  readonly customer: string;
  readonly serial: string;
  readonly work_order: string;
  readonly gauge: string;
  readonly gauges: readonly string[];
  readonly technician: string;
  readonly procedure: string;
  readonly header: string;
  readonly sealed_at: Date | null;
  readonly verdict: string | null;
  readonly readings: number | null;
  readonly seal: string | null;
}

async function ofTests(archive: Archive, bench: BenchEntry, tests?: readonly string[]): Promise<Problem[]> {
  const found: Problem[] = [];
  for (let after = ''; ; ) {
    const page = await archive.rows<TestColumns>(
      `SELECT test.test, test.started_at, customer, serial, work_order, gauge, gauges, technician, procedure, header,
         seal.started_at AS sealed_at, verdict, readings, seal
       FROM test LEFT JOIN seal USING (bench, test, year)
       WHERE bench = $1 AND test.test > $2 ${tests ? 'AND test.test = ANY($3)' : ''}
       ORDER BY test.test LIMIT ${rowsAtATime}`,
      [bench.id, after, ...(tests ? [tests] : [])],
    );
    for (const row of page) found.push(...differences(`test ${row.test}, list`, columnsOf(row), toldBy(row)));
    after = page.at(-1)?.test ?? '';
    if (page.length < rowsAtATime) return found;
  }
}

const columnsOf = ({ header: _header, seal, started_at, sealed_at, gauges, ...row }: TestColumns): Columns => ({
  ...row,
  started_at: started_at.getTime(),
  gauges: gauges.toSorted().join(', '),
  ...(seal === null ? {} : { sealed_at: sealed_at?.getTime() ?? null }),
});

/** What the guards drew the columns from, drawn again here. */
function toldBy({ header: headerText, seal: sealText }: TestColumns): Columns {
  const header = JSON.parse(headerText) as TestHeader;
  const seal = sealText === null ? null : (JSON.parse(sealText) as TestSeal);
  const started = Date.parse(header.startedAt);
  return {
    test: header.test,
    started_at: started,
    customer: header.customer,
    serial: header.cylinder.serial,
    work_order: header.workOrder,
    gauge: header.plan.gauge.serial,
    gauges: [...new Set(serialsIn(header.plan))].toSorted().join(', '),
    technician: header.technician,
    procedure: header.plan.procedure.id,
    verdict: seal?.result.verdict ?? null,
    readings: seal?.readings ?? null,
    ...(seal === null ? {} : { sealed_at: started }),
  };
}

/** Every `serial` in a plan, wherever it stands. */
function serialsIn(value: unknown): string[] {
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) =>
    key === 'serial' && typeof inner === 'string' ? [inner] : serialsIn(inner),
  );
}

async function ofLedger(archive: Archive, bench: BenchEntry): Promise<Problem[]> {
  const found: Problem[] = [];
  for (let after = 0; ; ) {
    const page = await archive.rows<
      Pick<LedgerLine, 'position' | 'kind' | 'test' | 'subject'> & { at: Date; line: string }
    >(
      `SELECT position, at, kind, test, subject, line FROM ledger WHERE bench = $1 AND position > $2
       ORDER BY position LIMIT ${rowsAtATime}`,
      [bench.id, after],
    );
    for (const { line, at, ...row } of page) {
      const told = JSON.parse(line) as LedgerLine;
      const columns = { ...row, at: at.getTime() };
      const { kind, test, subject, position } = told;
      const drawn = { position, kind, test, subject, at: Date.parse(told.at) };
      found.push(...differences(`ledger line ${row.position}, list`, columns, drawn));
    }
    after = page.at(-1)?.position ?? 0;
    if (page.length < rowsAtATime) return found;
  }
}

type Columns = Readonly<Record<string, string | number | null>>;

const differences = (where: string, columns: Columns, told: Columns): Problem[] =>
  Object.keys(told)
    .filter((name) => columns[name] !== told[name])
    .map((name) => ({ where, what: `the column ${name} says ${columns[name]}, the record ${told[name]}` }));
