import type { ColumnSource } from 'hyparquet-writer';
import type { Reading } from '../../gauge/index.js';
import { gaugesInTest } from '../../procedure/index.js';
import { canonicalJson, type Store, type StoredTest } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';

type Column = Omit<ColumnSource, 'data'> & { readonly of: (reading: Reading) => number | null };

/**
 * A trace as an Apache Parquet file, a row group at a time: the columns of the CSV, typed, a missing value null. What the
 * test is stands in the file's key-value metadata, `dwellmark.record` being the head of its record, `dwellmark.header`
 * and `dwellmark.seal` the hashed texts themselves.
 * @param rowGroupReadings a reader that wants a part need not take the whole; an hour at 10 Hz is one group
 * @throws DwellmarkError (`refused`) for a test without a reading: readers do not agree on a file without a row group.
 */
export async function* exportParquet(store: Store, test: string, rowGroupReadings = 50_000): AsyncIterable<Uint8Array> {
  const { ByteWriter, ParquetWriter, schemaFromColumnData } = await import('hyparquet-writer');
  const stored = store.test(test);
  const columns = columnsOf(stored);
  const writer = new ByteWriter();
  const file = new ParquetWriter({
    writer,
    schema: schemaFromColumnData({ columnData: filled(columns, []) }),
    kvMetadata: Object.entries(aboutOf(stored)).map(([key, value]) => ({ key: `dwellmark.${key}`, value })),
    createdBy: 'dwellmark',
  });
  // What is written is handed on and forgotten: a long trace never lies in memory whole.
  const written = (): Uint8Array => {
    const bytes = writer.getBytes().slice();
    writer.index = 0;
    return bytes;
  };
  for (const readings of groupsOf(store.trace(test), rowGroupReadings)) {
    await file.write({ columnData: filled(columns, readings), rowGroupSize: rowGroupReadings });
    yield written();
  }
  if (file.row_groups.length === 0)
    throw new DwellmarkError('refused', `test ${test} has no readings to put into a Parquet file`, {
      advice: 'Take --format json.',
    });
  await file.finish();
  yield written();
}

function columnsOf({ header }: StoredTest): Column[] {
  const { opposite, oil } = header.gauge.channels;
  const pascals = { type: 'INT32', nullable: true, encoding: 'DELTA_BINARY_PACKED' } as const;
  return [
    { name: 'time_s', type: 'DOUBLE', nullable: false, of: ({ timeUs }) => timeUs / 1e6 },
    { name: 'pressure_Pa', ...pascals, of: ({ pressurePa }) => pressurePa },
    ...(opposite ? [{ name: 'pressure_b_Pa', ...pascals, of: ({ oppositePa }: Reading) => oppositePa }] : []),
    ...(oil
      ? [{ name: 'temperature_K', type: 'DOUBLE' as const, nullable: true, of: ({ oilK }: Reading) => oilK }]
      : []),
    { name: 'flags', type: 'INT32', nullable: false, of: ({ flags }) => flags },
  ];
}

const filled = (columns: readonly Column[], readings: readonly Reading[]): ColumnSource[] =>
  columns.map(({ of, ...column }) => ({ ...column, data: readings.map(of) }));

function* groupsOf(trace: Iterable<Reading>, size: number): Iterable<Reading[]> {
  let group: Reading[] = [];
  for (const reading of trace) {
    group.push(reading);
    if (group.length < size) continue;
    yield group;
    group = [];
  }
  if (group.length > 0) yield group;
}

/** What the test is, as texts. */
function aboutOf({ header, seal, head, result, ledger }: StoredTest): Record<string, string> {
  const gauges = gaugesInTest(header.plan).map(({ serial }) => serial);
  return {
    test: header.test,
    record: head ?? 'not sealed',
    ledger: String(ledger ?? 'not sealed'),
    verdict: result?.verdict ?? 'none: never sealed',
    customer: header.customer,
    work_order: header.workOrder,
    cylinder: header.cylinder.serial,
    gauges: (gauges.length > 0 ? gauges : [header.plan.gauge.serial]).join(', '),
    started_at: header.startedAt,
    technician: header.technician,
    origin: header.origin,
    header: canonicalJson(header),
    ...(seal ? { seal: canonicalJson(seal) } : {}),
  };
}
