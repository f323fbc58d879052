import type { PageFacts } from '../facts/page-facts.js';
import { type Html, html } from '../html.js';
import { factGroup, section, verdictMark } from './parts.js';

/** What the page is, and what was found. */
export const masthead = ({ shop, title, subject, notices, item }: PageFacts): Html =>
  html`<header class="masthead"><p class="shop"><strong>${shop.name}</strong><span>${shop.address}</span></p>
<h1>${title}</h1>
<p class="subject">${subject}${item[0]?.facts[0] === undefined ? '' : `, ${item[0].facts[0].label} ${item[0].facts[0].value}`}</p>
${notices.map((notice) => html`<p class="notice">${notice}</p>`)}</header>
`;

export const summary = ({ say, verdict, ports, item }: PageFacts): Html =>
  section(
    'summary',
    say('summary.title'),
    html`<div class="finding ${verdict.verdict}"><p class="word">${verdictMark(verdict.verdict, verdict.word)}</p>
<p class="sentence">${verdict.sentence}</p>
<ul class="ports">${ports.map(
      ({ label, verdict: own, word, reason }) =>
        html`<li>${verdictMark(own, word)} <strong>${label}</strong><span>${reason}</span></li>`,
    )}</ul></div>
`,
    html`<div class="columns">${item.map(factGroup)}</div>
`,
  );
