import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { exportXlsx } from '../../src/audit/index.js';
import { unitSystems } from '../../src/units/index.js';
import { asInputs, newStore, sampleHeader, sampleReadings, scratchFolder, writeTest } from '../record/sample-test.js';

const folder = scratchFolder();
/** Every cell with its type, as openpyxl reads it: a reader that did not write it. */
const program = `
import json, sys, openpyxl
book = openpyxl.load_workbook(sys.argv[1])
print(json.dumps({sheet.title: [[[cell.value, cell.data_type] for cell in row] for row in sheet.iter_rows()] for sheet in book}))
`;
type Book = Readonly<Record<string, readonly (readonly (readonly [value: unknown, type: string])[])[]>>;
function read(bytes: Uint8Array): Book {
  const file = join(folder, 'book.xlsx');
  writeFileSync(file, bytes);
  const options = { encoding: 'utf8', maxBuffer: 1e9 } as const;
  return JSON.parse(execFileSync('/usr/bin/python3', ['-W', 'ignore', '-c', program, file], options)) as Book;
}
const customers = [
  '=1+1',
  '@SUM(A1)',
  '<b>&amp; "quoted" ]]>',
  'Ångström & Søn ⌀ 100 mm',
  "'=HYPERLINK",
  '_x0041_ stays',
];

it.each(customers)('a workbook holds every reading and no formula, for customer %s', async (customer) => {
  const store = newStore(join(folder, `${customers.indexOf(customer)}.db`));
  const readings = sampleReadings({ seconds: 20 }).map((reading, index) =>
    index === 4 ? { ...reading, pressurePa: null, oilK: null, flags: 1 } : reading,
  );
  writeTest(
    store,
    sampleHeader('T-2026-0001', { customer, facts: { purpose: 'complaint', workDone: customer } }),
    asInputs(readings),
  );
  const book = read(await exportXlsx(store, 'T-2026-0001', unitSystems.bar));
  expect(Object.keys(book)).toEqual(['Test', 'Stages', 'Trace']);
  expect(
    Object.values(book)
      .flat(2)
      .filter(([, type]) => type === 'f'),
  ).toEqual([]);
  const facts = Object.fromEntries((book.Test ?? []).map(([name, value]) => [name?.[0], value?.[0]]));
  expect(facts.customer).toBe(customer);
  expect(facts).toMatchObject({ purpose: 'complaint', 'work done': customer });
  expect(facts.record).toBe(store.test('T-2026-0001').head);
  const [names = [], ...rows] = book.Trace ?? [];
  expect(names.map(([name]) => name)).toEqual(['time, s', 'pressure, bar', 'oil, °C', 'flags']);
  expect(rows).toHaveLength(readings.length);
  for (const [index, { timeUs, pressurePa, oilK, flags }] of readings.entries()) {
    const row = (rows[index] ?? []).map(([value]) => value);
    expect(row[0]).toBeCloseTo(timeUs / 1e6, 9);
    if (pressurePa === null) expect(row[1]).toBeNull();
    else expect(row[1]).toBeCloseTo(pressurePa / 1e5, 9);
    if (oilK === null) expect(row[2]).toBeNull();
    else expect(row[2]).toBeCloseTo(oilK - 273.15, 9);
    expect(row[3]).toBe(flags);
  }
});

it('figures are in the units asked for', async () => {
  const store = newStore(join(folder, 'psi.db'));
  const readings = sampleReadings({ seconds: 5 });
  writeTest(store, sampleHeader('T-2026-0001'), asInputs(readings));
  const { Trace: [names = [], first = []] = [] } = read(await exportXlsx(store, 'T-2026-0001', unitSystems.psi));
  expect(names[1]?.[0]).toBe('pressure, psi');
  // 1 psi is 6 894.757 293 168 Pa: the pound-force of the international pound and standard gravity, on a square inch; computed.
  expect(first[1]?.[0]).toBeCloseTo((readings[0]?.pressurePa ?? Number.NaN) / 6894.757293168, 6);
});

it('a trace that is too long is refused with another format named', async () => {
  const store = newStore(join(folder, 'long.db'));
  const [reading] = sampleReadings({ seconds: 1 });
  if (reading === undefined) throw new Error('no reading');
  const long = Array.from({ length: 300_001 }, (_, index) => ({ ...reading, timeUs: index * 100_000 }));
  writeTest(store, sampleHeader('T-2026-0001'), asInputs(long));
  await expect(exportXlsx(store, 'T-2026-0001', unitSystems.bar)).rejects.toThrow('more than 300000 readings');
});
