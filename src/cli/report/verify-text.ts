import type { About, CheckReport } from '../../audit/index.js';
import { paint } from '../output.js';
import { wrapped } from './result-text.js';
import { verdictWord } from './verdict-words.js';

const shownProblems = 50;

/** A check as a person reads it: what the thing is, what was looked at, what was found, and one plain sentence at the end. */
export function verifyLines(report: CheckReport, about: About | null): string[] {
  const { checked, notChecked, unproven, problems } = report;
  const shown = problems.slice(0, shownProblems);
  const list = (mark: string, texts: readonly string[]) =>
    texts.flatMap((text) => wrapped(`${mark} ${plain(text)}`, 0));
  return [
    ...(about === null ? [] : [...aboutLines(about), '']),
    ...list('checked:', checked),
    ...list('not checked:', notChecked),
    ...list('NOT PROVEN:', unproven),
    ...list(
      'ALTERED',
      shown.map(({ where, what }) => `${where}: ${what}`),
    ),
    ...(problems.length > shown.length ? [`and ${problems.length - shown.length} more`] : []),
    ...conclusion(report, about),
  ];
}

function conclusion({ problems, unproven }: CheckReport, about: About | null): string[] {
  if (problems.length > 0) {
    const count = problems.length === 1 ? '1 discrepancy' : `${problems.length} discrepancies`;
    return coloured(
      `NOT OK: ${count} found. Something was changed, or the parts do not belong together. Do not rely on it.`,
      'red',
    );
  }
  if (unproven.length > 0)
    return coloured(
      'NOT PROVEN: nothing checked was altered, but do not rely on it before each point marked NOT PROVEN is settled.',
      'yellow',
    );
  if (about === null || about.what === 'record') return coloured('Nothing checked was altered.', 'green');
  return coloured(
    plain(
      `Nothing checked was altered: this is ${about.what} ${about.number} of ${about.shop} for cylinder ${about.cylinder}, verdict ${about.verdict.toUpperCase()}, and its pages say what its record says.`,
    ),
    'green',
  );
}

const coloured = (text: string, colour: 'red' | 'yellow' | 'green'): string[] =>
  wrapped(text, 0).map((line) => paint(line, 'bold', colour));

/** What a file or a test is, from its record. */
function aboutLines(about: About): string[] {
  const line = (name: string, text: string): string[] => wrapped(`${name.padEnd(10)} ${plain(text)}`, 2);
  const { number, what } = about;
  const title =
    number === null ? `Record of test ${about.test}` : `${what.charAt(0).toUpperCase()}${what.slice(1)} ${number}`;
  const origin = { live: '', simulated: '; SIMULATED gauge', imported: '; IMPORTED log' }[about.origin];
  return [
    paint(plain(title), 'bold'),
    ...(about.issuedAt === null ? [] : line('issued', about.issuedAt)),
    ...line('shop', about.shop),
    ...line('cylinder', about.cylinder),
    ...line('customer', `${about.customer}, work order ${about.workOrder}`),
    ...about.corrections.flatMap((text) => line('corrected', text)),
    ...line('test', `${about.test}, ${about.testedAt}, by ${about.technician}, gauge ${about.gauge}${origin}`),
    `  ${'verdict'.padEnd(10)} ${verdictWord(about.verdict)} (${about.ports.map(({ port, verdict }) => `port ${port} ${verdict}`).join(', ')})`,
    ...(about.signatures.length === 0 ? line('signed', 'by nobody') : []),
    ...about.signatures.flatMap(({ name, role, meaning, signedAt, key }) =>
      line('signed', `${meaning}: ${name}, ${role}, ${signedAt}, key ${key.replace(/.{4}(?=.)/g, '$& ')}`),
    ),
    ...line(
      'void',
      about.voids.join('; ') || 'not as far as this file knows; the shop knows what was declared void since',
    ),
  ];
}

// biome-ignore lint/suspicious/noControlCharactersInRegex: a file from outside must not steer the terminal
const steering = /[\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/g;
const plain = (text: string): string => text.replace(steering, '?');
