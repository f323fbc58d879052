import type { ChartData } from '../chart/chart-data.js';
import type { PageSetting } from '../facts/page-facts.js';
import { placeOf } from '../record-page.js';
import { pageWords, type SayPage } from '../words/page-words.js';
import { found } from './element.js';
import type { View } from './live-chart.js';
import type { News, Order } from './messages.js';
import { type MountedChart, mountChart } from './mount-chart.js';
import { mountCheck } from './mount-check.js';
import { asDelivered } from './same-page.js';
import { work } from './worker.js';

/** The same script runs in the page and, from a copy of itself, in the worker: one text, one hash in the policy. */
if (typeof document === 'undefined')
  work(
    (news) => (postMessage as (news: News) => void)(news),
    (take) => addEventListener('message', ({ data }) => take(data as Order)),
  );
else begin();

function begin(): void {
  const delivered = asDelivered();
  const setting = JSON.parse(found(placeOf.setting).textContent ?? '') as PageSetting;
  const data = JSON.parse(found(placeOf.chart).textContent ?? '') as ChartData;
  const program = found(placeOf.program).textContent ?? '';
  const say = pageWords(setting.language);
  const finer = finerViews();
  const mounted = mountChart(found('chart-live'), data, say, finer.wanted);
  found('chart-still').hidden = true;
  const start = (): void => {
    const worker = new Worker(URL.createObjectURL(new Blob([program], { type: 'text/javascript' })));
    const tell = (order: Order): void => worker.postMessage(order);
    const check = mountCheck({
      say,
      decimal: data.decimal,
      delivered,
      begin: () => tell({ order: 'check', setting, program }),
    });
    worker.addEventListener('message', ({ data: news }: MessageEvent<News>) => {
      check(news);
      chartNews(news, mounted, say);
      finer.took(news);
    });
    tell({ order: 'open', record: found(placeOf.record).textContent ?? '', unitName: data.unitName });
    finer.from(tell, mounted);
  };
  if (document.readyState === 'loading') document.addEventListener('DOMContentLoaded', () => setTimeout(start));
  else setTimeout(start);
}

function chartNews(news: News, { chart, state }: MountedChart, say: SayPage): void {
  if (news.news === 'opened') state(say('chart.loaded', { readings: news.readings }));
  if (news.news === 'view') chart.show(news, news.rows);
  if (news.news === 'failed' && news.of === 'open') state(say('chart.overview-only', { why: news.why }));
}

/** Asks the worker for finer rows, one view at a time: of those that pass while it is busy, only the last. */
function finerViews() {
  let ask: ((order: Order) => void) | null = null;
  let ready = false;
  let busy = false;
  let waiting: { view: View; columns: number } | null = null;
  const next = (): void => {
    if (!ask || !ready || busy || !waiting) return;
    const { view, columns } = waiting;
    waiting = null;
    busy = true;
    ask({ order: 'view', ...view, columns });
  };
  return {
    wanted: (view: View, columns: number): void => {
      waiting = { view, columns };
      next();
    },
    from: (tell: (order: Order) => void, { state }: MountedChart): void => {
      ask = tell;
      state('');
    },
    took: ({ news, ...rest }: News): void => {
      if (news === 'opened') ready = true;
      if (news === 'view' || (news === 'failed' && 'of' in rest && rest.of === 'view')) busy = false;
      next();
    },
  };
}
