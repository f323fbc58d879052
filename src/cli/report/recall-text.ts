import { csvRow, type RecallLine, type RecallQuestion } from '../../audit/index.js';
import { spell, type UnitSystem } from '../../units/index.js';
import { paint } from '../output.js';
import { wrapped } from './result-text.js';
import { verdictWord } from './verdict-words.js';

/** Tests of a recall by customer, customers by name, tests oldest first. */
export function byCustomer(lines: readonly RecallLine[]): Map<string, readonly RecallLine[]> {
  const names = [...new Set(lines.map(({ customer }) => customer))].sort((a, b) => a.localeCompare(b));
  return new Map(names.map((name) => [name, lines.filter(({ customer }) => customer === name)]));
}

/** A recall for a person to read. */
export function recallLines(
  lines: readonly RecallLine[],
  { gauge, since, until, error }: RecallQuestion,
  system: UnitSystem,
): string[] {
  const window = `${since === '1970-01-01' ? 'from the first test' : `from ${since}`} ${until === undefined ? 'to now' : `to ${until}`}`;
  return [
    ...wrapped(
      `Gauge ${gauge}, ${window}${error ? `; judged again as if it had read ${errorText(error, system)}` : ''}`,
      0,
    ),
    ...[...byCustomer(lines)].flatMap(([customer, group]) => [
      '',
      paint(customer, 'bold'),
      ...group.flatMap((line) => testLines(line, system)),
    ]),
    '',
  ];
}

function errorText({ fraction, offsetPa }: NonNullable<RecallQuestion['error']>, system: UnitSystem): string {
  const parts = [
    ...(fraction === 0 ? [] : [`${Number((fraction * 100).toPrecision(6))} %`]),
    ...(offsetPa === 0 ? [] : [spell(`{difference:${offsetPa}}`, system)]),
  ];
  return `${parts.length === 0 ? 'nothing' : parts.join(' and ')} too much`;
}

function testLines(line: RecallLine, system: UnitSystem): string[] {
  const { test, startedAt, serial, workOrder, verdict, verdictIfTrue, changes, peakPa, gave, disposition } = line;
  const stored = verdict === null ? 'not sealed' : verdictWord(verdict);
  const again = verdictIfTrue === null ? '' : changes ? ` would be ${verdictWord(verdictIfTrue)}` : ' stays';
  const papers = line.certificates.map(({ number, voided }) => `${number}${voided ? ' (void)' : ''}`);
  const peak = peakPa === null ? '' : `, up to ${spell(`{pressure:${peakPa}}`, system)}`;
  const decided = disposition
    ? `${disposition.decision}: ${disposition.why} (${disposition.by}, ${disposition.at.slice(0, 10)})${disposition.customerToldAt ? `; customer told ${disposition.customerToldAt}` : '; customer not told'}`
    : 'not decided';
  return [
    `  ${test}  ${startedAt.slice(0, 10)}  ${stored}${again}${line.voided ? '  test void' : ''}  ${papers.length > 0 ? papers.join(', ') : 'no certificate'}`,
    ...wrapped(`cylinder ${serial}, work order ${workOrder}; it gave ${gave}${peak}`, 6),
    ...(line.whyIfTrue ? wrapped(spell(line.whyIfTrue, system), 6) : []),
    ...wrapped(decided, 6),
  ];
}

/** How far the recall is. */
export function recallSum(lines: readonly RecallLine[], judged: boolean): string {
  const standing = lines.flatMap(({ certificates }) => certificates.filter(({ voided }) => !voided)).length;
  return [
    `${count(lines.length, 'test')} for ${count(byCustomer(lines).size, 'customer')}`,
    ...(judged ? [`${count(lines.filter(({ changes }) => changes).length, 'verdict')} would change`] : []),
    `${lines.filter(({ disposition }) => !disposition).length} not decided`,
    `${count(standing, 'certificate')} standing`,
  ]
    .join(', ')
    .concat('.');
}

/** The list to send on, a row a test, sorted by customer. */
export function recallCsv(lines: readonly RecallLine[]): string {
  const head = [
    ...['customer', 'test', 'started_at', 'cylinder_serial', 'work_order', 'certificates', 'gauge_gave', 'peak_Pa'],
    ...['verdict', 'verdict_if_true', 'changes', 'decision', 'reason', 'decided_by', 'decided_at', 'customer_told_at'],
  ];
  const rows = [...byCustomer(lines).values()]
    .flat()
    .map((line) => [
      ...[line.customer, line.test, line.startedAt, line.serial, line.workOrder],
      line.certificates.map(({ number, voided }) => (voided ? `${number} (void)` : number)).join(' '),
      ...[line.gave, line.peakPa, line.verdict, line.verdictIfTrue, line.changes],
      ...[line.disposition?.decision ?? null, line.disposition?.why ?? null, line.disposition?.by ?? null],
      ...[line.disposition?.at ?? null, line.disposition?.customerToldAt ?? null],
    ]);
  return [head, ...rows].map(csvRow).join('');
}

const count = (number: number, what: string): string => `${number} ${what}${number === 1 ? '' : 's'}`;
