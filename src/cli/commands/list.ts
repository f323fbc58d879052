import { csvRow, listedTests } from '../../audit/index.js';
import { findShop } from '../../bench/index.js';
import { openStore, type TestFilter, type TestLine } from '../../record/index.js';
import type { CommonOptions } from '../common-options.js';
import { remark, say, sayJson } from '../output.js';
import { verdictWord } from '../report/verdict-words.js';

export type ListOptions = CommonOptions & TestFilter & { readonly csv?: boolean };

/** `dwellmark list`: records by what is asked, newest first. */
export function run(options: ListOptions): void {
  const { shop, json, csv, debug: _debug, ...filter } = options;
  const store = openStore(findShop(shop).database, { mode: 'read' });
  try {
    const none = Object.keys(filter).length === 0 ? 'No test yet: dwellmark test JOB, or dwellmark import LOG.' : null;
    const { tests, checked } = listedTests(store, filter);
    tellTests(tests, { json, csv }, none ?? 'No test is like that.');
    if (!checked) remark('So long a list is not checked against the record: `dwellmark verify --all` does it.');
  } finally {
    store.close();
  }
}

/** A list of tests, in the form that was asked for. */
export function tellTests(
  tests: readonly TestLine[],
  { json, csv }: { readonly json?: boolean | undefined; readonly csv?: boolean | undefined },
  none: string,
): void {
  if (json) return sayJson(tests);
  if (csv) return listCsv(tests);
  if (tests.length === 0) return say(none);
  const widths = { serial: widest(tests, 'serial'), customer: widest(tests, 'customer') };
  say(tests.map((test) => line(test, widths)).join('\n'));
}

function listCsv(tests: readonly TestLine[]): void {
  const head = [
    ...['test', 'started_at', 'customer', 'cylinder_serial', 'work_order', 'gauge', 'technician', 'procedure'],
    ...['origin', 'verdict', 'readings', 'signatures', 'certificates', 'voided', 'record'],
  ];
  const rows = tests.map((test) =>
    csvRow([
      ...[test.test, test.startedAt, test.customer, test.serial, test.workOrder, test.gauge, test.technician],
      ...[test.procedure, test.origin, test.verdict, test.readings, test.signatures, test.certificates.join(' ')],
      ...[test.voided, test.head],
    ]),
  );
  process.stdout.write(csvRow(head) + rows.join(''));
}

const widest = (tests: readonly TestLine[], field: 'serial' | 'customer'): number =>
  Math.min(
    24,
    tests.reduce((most, test) => Math.max(most, test[field].length), 0),
  );

function line(test: TestLine, widths: { serial: number; customer: number }): string {
  const cut = (text: string, width: number) =>
    text.length > width ? `${text.slice(0, width - 1)}…` : text.padEnd(width);
  const state = test.verdict === null ? 'not sealed' : verdictWord(test.verdict);
  const extras = [
    test.voided ? 'void' : '',
    test.certificates.join(' '),
    test.signatures > 0 && test.certificates.length === 0 ? 'signed' : '',
  ].filter((text) => text !== '');
  const day = test.startedAt.slice(0, 16).replace('T', ' ');
  return `${test.test}  ${day}  ${cut(test.serial, widths.serial)}  ${cut(test.customer, widths.customer)}  ${state}${extras.length > 0 ? `  ${extras.join(', ')}` : ''}`;
}
