import type { ShippedTexts } from '../certificate/index.js';
import { type Asking, sha256, textBytes } from '../record/index.js';
import { type PageFacts, type PageSetting, pageFacts } from './facts/page-facts.js';
import { Html, html, jsonInScript } from './html.js';
import { readRecord, readTrace } from './read-record.js';
import {
  chart,
  check,
  events,
  gauge,
  masthead,
  phases,
  recordSection,
  results,
  signatures,
  summary,
  uncertainty,
} from './sections.js';
import { pageStyle } from './style.js';

/** Where a page's data stand in it. */
export const placeOf = {
  setting: 'setting-data',
  chart: 'chart-data',
  program: 'program',
  record: 'record-data',
} as const;

/**
 * A test's page without the record itself, which follows at its end: the same record, setting and program give the
 * same text, so that a page can be held against what it should be.
 * @param bundle the record as a bundle
 * @param program the page's script
 * @param shipped the program's own words: never those that a page brings
 * @throws DwellmarkError (`input`, `altered`) when the text is no bundle.
 */
export function* recordPage(
  bundle: string,
  setting: PageSetting,
  program: string,
  shipped: ShippedTexts,
): Asking<string> {
  const record = readRecord(bundle);
  const facts = yield* pageFacts(record, readTrace(record.links, record.seal.readings), setting, shipped);
  const style = `sha256-${base64(yield* sha256(textBytes(pageStyle)))}`;
  const script = `sha256-${base64(yield* sha256(textBytes(program)))}`;
  const policy = `default-src 'none'; style-src '${style}'; script-src '${script}'; worker-src blob:; base-uri 'none'; form-action 'none'`;
  return html`<!doctype html>
<html lang="${facts.language}"><head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="${policy}"><meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark"><meta name="referrer" content="no-referrer"><title>${facts.title}, ${facts.verdict.word}</title><style>${new Html(pageStyle)}</style></head>
<body>${pageBody(facts)}<script type="application/json" id="${placeOf.setting}">${jsonInScript(setting)}</script>
<script type="application/json" id="${placeOf.chart}">${jsonInScript(facts.chart)}</script>
<script id="${placeOf.program}">${new Html(program)}</script>`.text;
}

/** All that is to be read of a test, in landmarks and sections. */
export const pageBody = (facts: PageFacts): Html =>
  html`<a class="skip" href="#summary">${facts.say('page.skip')}</a>
<div class="page">${masthead(facts)}<nav aria-label="${facts.say('page.sections')}"><ul>${sectionTitles(facts).map(
    ([id, title]) => html`<li><a href="#${id}">${title}</a></li>`,
  )}</ul></nav>
<main>
${summary(facts)}${chart(facts)}${check(facts)}${results(facts)}${phases(facts)}${events(facts)}${uncertainty(facts)}${gauge(facts)}${signatures(facts)}${recordSection(facts)}</main>
<footer><p>${facts.say('page.scope')}</p><p>${facts.written}</p></footer></div>
`;

const sectionTitles = ({ say, results: { title }, gauge: ofGauge, signatures: signed, record }: PageFacts) =>
  [
    ['summary', say('summary.title')],
    ['chart', say('chart.title')],
    ['check', say('check.title')],
    ['results', title],
    ['phases', say('phases.title')],
    ['events', say('events.title')],
    ['uncertainty', say('budget.title')],
    ['gauge', ofGauge.title],
    ['signatures', signed.title],
    ['record', record.title],
  ] as const;

const base64 = (bytes: Uint8Array): string => btoa(String.fromCharCode(...bytes));
