import type { LiveNews } from './news.js';

const place = (id: string): HTMLElement => {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no ${id}`);
  return found;
};

const put = (id: string, text: string): void => {
  const element = place(id);
  if (element.textContent !== text) element.textContent = text;
};

function facts(list: LiveNews['facts']): void {
  place('facts').replaceChildren(
    ...list.map(({ label, text }) => {
      const fact = document.createElement('span');
      const value = document.createElement('b');
      value.textContent = text;
      fact.append(`${label} `, value);
      return fact;
    }),
  );
}

/** The trace in a box of 1000 by 200: from zero to a little above the target or the peak. */
function trace({ points, target }: LiveNews): void {
  const first = points[0]?.[0] ?? 0;
  const span = Math.max(30, (points.at(-1)?.[0] ?? 0) - first);
  const top = Math.max(target ?? 0, ...points.map(([, pa]) => pa), 1) * 1.08;
  const y = (pa: number): number => 200 - (pa / top) * 200;
  place('trace')
    .querySelector('polyline')
    ?.setAttribute(
      'points',
      points.map(([s, pa]) => `${(((s - first) / span) * 1000).toFixed(1)},${y(pa).toFixed(1)}`).join(' '),
    );
  const line = place('trace').querySelector('line');
  line?.setAttribute('y1', y(target ?? -top).toFixed(1));
  line?.setAttribute('y2', y(target ?? -top).toFixed(1));
}

const screen = document.querySelector<HTMLElement>('.live');
const feed = new EventSource(`/live/feed?test=${encodeURIComponent(screen?.dataset.test ?? '')}`);
feed.onmessage = ({ data }) => {
  const news = JSON.parse(String(data)) as LiveNews;
  screen?.removeAttribute('data-lost');
  put('pressure', news.pressure);
  put('unit', news.unit);
  put('phase', news.phase);
  put('left', news.left);
  put('ask', news.ask);
  put('alarm', news.alarm);
  facts(news.facts);
  trace(news);
  if (news.sealed) feed.close();
};
feed.onerror = () => {
  screen?.setAttribute('data-lost', '');
  put('alarm', 'The feed is lost: these figures are old.');
};
