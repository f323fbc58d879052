import type { CheckReport } from '../../audit/index.js';
import type { SayPage } from '../words/page-words.js';
import { element } from './element.js';

const mostShown = 50;

/** What a record is, from the record alone. */
export interface CheckedRecord {
  readonly test: string;
  readonly cylinder: string;
  readonly customer: string;
  readonly verdict: string;
}

/**
 * What a check came to, as a person reads it: the outcome first, with what the record says, then what does not agree, then
 * what was looked at. Never in the colour of a pass: a page can't know who signed it.
 */
export function showCheck(
  place: HTMLElement,
  report: CheckReport,
  record: CheckedRecord | null,
  seconds: number,
  decimal: string,
  say: SayPage,
): void {
  const { problems, checked, notChecked, unproven, counts } = report;
  const good = problems.length === 0;
  const outcome = good
    ? say('check.good')
    : problems.length === 1
      ? say('check.bad-one')
      : say('check.bad', { count: problems.length });
  place.replaceChildren(
    element(
      'div',
      { class: `outcome ${good ? 'plain' : 'bad'}`, 'data-outcome': good ? 'good' : 'altered' },
      element('p', { class: `verdict ${good ? 'neutral' : 'fail'}` }, `${good ? '' : '✕ '}${outcome}`),
      ...(record === null ? [] : [element('p', {}, element('strong', {}, say('check.record', { ...record })))]),
      ...(good ? [element('p', {}, say('check.who'))] : []),
      element(
        'p',
        {},
        say('check.counts', {
          links: counts.links,
          readings: counts.readings,
          signatures: counts.signatures,
          time: `${seconds.toFixed(1).replace('.', decimal)}\u00a0s`,
        }),
      ),
      ...(good
        ? []
        : list(
            say('check.problems'),
            problems.slice(0, mostShown).map(({ where, what }) => `${where}: ${what}`),
          )),
      ...list(say('check.checked'), checked),
      ...list(say('check.not-checked'), [...unproven, ...notChecked]),
    ),
  );
}

const list = (title: string, lines: readonly string[]): HTMLElement[] =>
  lines.length === 0
    ? []
    : [element('h3', {}, title), element('ul', {}, ...lines.map((line) => element('li', {}, line)))];
