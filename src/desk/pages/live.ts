import { type Html, html } from '../../page/index.js';
import type { Store } from '../../record/index.js';
import type { Desk } from '../desk.js';
import { frame } from '../frame.js';

/** The test that runs, for the big screen across the workshop: the script fills it from the feed. */
export function livePage(desk: Desk, store: Store, asked: string | undefined): Html {
  const test = asked ?? store.unfinished().at(-1)?.test;
  if (test === undefined)
    return frame(
      desk,
      '/live',
      'Live',
      {},
      html`<p class="none">No test is running. This page shows the next one: load it again when it has begun.</p>`,
    );
  const { header } = store.test(test);
  return frame(
    desk,
    '/live',
    `${test}, ${header.cylinder.serial}`,
    { wide: true, script: '/live.js' },
    html`<div class="live" data-test="${test}"><p class="pressure"><b id="pressure">–</b><span id="unit"></span></p>
<p class="alarm" id="alarm" role="alert"></p>
<p class="phase"><span id="phase"></span> <span class="left" id="left"></span></p><p class="ask-now" id="ask"></p>
<p class="facts-now" id="facts"></p>
<svg id="trace" viewBox="0 0 1000 200" preserveAspectRatio="none" role="img" aria-label="Pressure so far"><line class="target-line" x1="0" x2="1000"/><polyline points=""/></svg>
<p class="small">Read-only. It shows what the record holds, a second behind at most; nobody should act on it instead of the gauge.</p></div>`,
  );
}
