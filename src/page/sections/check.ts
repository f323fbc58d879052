import type { PageFacts } from '../facts/page-facts.js';
import { type Html, html } from '../html.js';
import { section } from './parts.js';

/** Where a reader has the record checked; the script fills in what it finds. */
export const check = ({ say }: PageFacts): Html =>
  section(
    'check',
    say('check.title'),
    html`<p>${say('check.intro')}</p>
<p class="notice" id="check-still">${say('check.no-script')}</p>
<div id="check-live" hidden><p><button type="button" class="main" id="check-button">${say('check.button')}</button> <progress id="check-progress" max="1" value="0" aria-label="${say('check.running')}" hidden></progress></p>
<div id="check-result" role="status" aria-live="polite"></div>
<form id="compare" hidden><h3>${say('check.compare')}</h3>
<p><label for="compare-head">${say('check.compare-label')}</label> <input id="compare-head" type="text" autocomplete="off" spellcheck="false" size="48"> <button type="submit">${say('check.compare-button')}</button></p>
<p id="compare-result" role="status" aria-live="polite"></p></form></div>
<details open><summary>${say('check.limits')}</summary><ul>
<li>${say('check.limit-keys')}</li>
<li>${say('check.limit-end')}</li>
<li>${say('check.limit-program')}</li>
<li>${say('check.limit-truth')}</li></ul></details>
`,
  );
