import type { Fact, FactGroup } from '../../certificate/index.js';
import type { Verdict } from '../../evaluation/index.js';
import { type Html, type HtmlValue, html } from '../html.js';

/** A section of the page with its heading; the heading names it for everyone. */
export const section = (id: string, title: string, ...content: readonly HtmlValue[]): Html =>
  html`<section id="${id}" aria-labelledby="${id}-title"><h2 id="${id}-title">${title}</h2>
${content}</section>
`;

/** Labels with their values. */
export const factList = (facts: readonly Fact[]): Html =>
  html`<dl class="facts">${facts.map(({ label, value }) => html`<div><dt>${label}</dt><dd>${value}</dd></div>`)}</dl>
`;

export const factGroup = ({ title, facts }: FactGroup): Html =>
  html`<div class="group"><h3>${title}</h3>
${factList(facts)}</div>
`;

/** A table that scrolls by itself when the page is narrow: named by its caption, to be reached with the keyboard. */
export const table = (caption: string, head: HtmlValue, body: HtmlValue, kind = ''): Html =>
  html`<div class="scroll ${kind}" role="region" aria-label="${caption}" tabindex="0"><table><caption>${caption}</caption>
<thead>${head}</thead>
<tbody>${body}</tbody></table></div>
`;

export const heads = (...texts: readonly string[]): Html =>
  html`<tr>${texts.map((text) => html`<th scope="col">${text}</th>`)}</tr>`;

const shapes: Readonly<Record<Verdict, string>> = {
  pass: 'M5 12.5l4.5 4.5L19 7.5',
  fail: 'M6.5 6.5l11 11m0-11l-11 11',
  inconclusive: 'M8.5 9.2a3.6 3.6 0 1 1 5.2 3.2c-1 .6-1.7 1.1-1.7 2.3m0 3.1v.3',
  invalid: 'M6 18L18 6M12 4a8 8 0 1 0 0 16 8 8 0 0 0 0-16',
};

/** A verdict by shape, colour and word: none of the three is needed to read it. */
export const verdictMark = (verdict: Verdict, word: string): Html =>
  html`<span class="verdict ${verdict}"><svg viewBox="0 0 24 24" aria-hidden="true" focusable="false"><path d="${shapes[verdict]}"/></svg>${word}</span>`;
