import type { ChartData } from '../chart/chart-data.js';
import { clockText } from '../facts/rows.js';
import type { SayPage } from '../words/page-words.js';
import { element } from './element.js';
import { LiveChart, type View } from './live-chart.js';

export interface MountedChart {
  readonly chart: LiveChart;
  /** A line beneath the chart, about what it shows. */
  state(text: string): void;
}

/**
 * Puts a chart to zoom into at a place: buttons for its views, the chart, what the pointer is at.
 * @param viewed asked for finer readings of a part
 */
export function mountChart(
  place: HTMLElement,
  data: ChartData,
  say: SayPage,
  viewed: (view: View, columns: number) => void,
): MountedChart {
  place.hidden = false;
  const views = element('div', { class: 'views', role: 'group', 'aria-label': say('chart.views') });
  const live = element('div', {
    class: 'live',
    tabindex: '0',
    role: 'application',
    'aria-label': say('chart.interactive'),
  });
  const readout = element('p', { class: 'readout' });
  const state = element('p', { class: 'state' });
  place.replaceChildren(views, live, readout, element('p', { class: 'state' }, say('chart.hint')), state);

  let dwellShown = -1;
  const chart = new LiveChart({
    data,
    place: live,
    heightPx: Math.round(Math.min(440, Math.max(260, innerHeight * 0.5))),
    viewed: (view) => {
      const { whole } = chart;
      for (const [index, button] of jumps.entries()) {
        const of = index === 0 ? whole : dwellView(data, index - 1, whole);
        button.setAttribute('aria-pressed', String(of.fromS === view.fromS && of.toS === view.toS));
      }
      viewed(view, Math.max(200, Math.round(live.clientWidth * 0.8)));
    },
    pointed: (at) =>
      readout.replaceChildren(
        ...(at === null
          ? []
          : [
              element('span', {}, `${say('chart.readout')}: `, element('strong', {}, clockText(at.s, 1))),
              level(data.words.pressure, at.p, data),
              ...(at.o === null ? [] : [level(data.words.opposite, at.o, data)]),
              ...nearEvent(data, at.s, chart.view),
            ]),
      ),
  });
  const jump = (text: string, to: () => View): HTMLButtonElement => {
    const button = element('button', { type: 'button', 'aria-pressed': 'false' }, text);
    button.addEventListener('click', () => chart.look(to()));
    return button;
  };
  const jumps = [
    jump(say('chart.whole'), () => chart.whole),
    ...data.dwells.map(({ label }, index) => jump(label, () => dwellView(data, index, chart.whole))),
  ];
  const step = (sign: string, name: string, act: () => void): HTMLButtonElement => {
    const button = element('button', { type: 'button', 'aria-label': name, title: name }, sign);
    button.addEventListener('click', act);
    return button;
  };
  views.append(
    ...jumps,
    element(
      'span',
      { class: 'steps' },
      step('←', say('chart.left'), () => chart.move(-0.25)),
      step('→', say('chart.right'), () => chart.move(0.25)),
      step('+', say('chart.zoom-in'), () => chart.zoom(0.5)),
      step('−', say('chart.zoom-out'), () => chart.zoom(2)),
    ),
  );
  const keys: Readonly<Record<string, () => void>> = {
    ArrowLeft: () => chart.move(-0.25),
    ArrowRight: () => chart.move(0.25),
    '+': () => chart.zoom(0.5),
    '=': () => chart.zoom(0.5),
    '-': () => chart.zoom(2),
    '0': () => chart.look(chart.whole),
    Home: () => chart.look(chart.whole),
    d: () => {
      if (data.dwells.length === 0) return;
      dwellShown = (dwellShown + 1) % data.dwells.length;
      chart.look(dwellView(data, dwellShown, chart.whole));
    },
  };
  live.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const act = keys[event.key] ?? keys[event.key.toLowerCase()];
    if (!act) return;
    event.preventDefault();
    act();
  });
  live.addEventListener(
    'wheel',
    (event) => {
      if (!event.ctrlKey && document.activeElement !== live) return;
      event.preventDefault();
      chart.wheel(event);
    },
    { passive: false },
  );
  live.addEventListener('mousedown', () => live.focus({ preventScroll: true }));
  jumps[0]?.setAttribute('aria-pressed', 'true');
  return { chart, state: (text) => state.replaceChildren(text) };
}

/** A dwell with a little of what is before and after it. */
function dwellView({ dwells }: ChartData, index: number, whole: View): View {
  const dwell = dwells[index];
  if (!dwell) return whole;
  const room = (dwell.toS - dwell.fromS) * 0.02;
  return { fromS: Math.max(0, dwell.fromS - room), toS: Math.min(whole.toS, dwell.toS + room) };
}

function level(name: string, value: number | null, { unit, decimal }: ChartData): HTMLElement {
  const text =
    value === null
      ? '–'
      : `${value
          .toFixed(unit === 'psi' ? 1 : 2)
          .replace('-', '−')
          .replace('.', decimal)} ${unit}`;
  return element('span', {}, `${name}: `, element('strong', {}, text));
}

/** The event within a hundredth of what is shown. */
function nearEvent({ events }: ChartData, s: number, { fromS, toS }: View): HTMLElement[] {
  const reach = (toS - fromS) / 100;
  const near = events.filter((event) => Math.abs(event.s - s) <= reach);
  const [nearest] = near.toSorted((a, b) => Math.abs(a.s - s) - Math.abs(b.s - s));
  return nearest ? [element('span', {}, `${clockText(nearest.s)} ${nearest.text}`)] : [];
}
