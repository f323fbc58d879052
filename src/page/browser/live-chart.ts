import uPlot from 'uplot';
import type { ChartData, Rows } from '../chart/chart-data.js';
import { clockSteps, rangeOf } from '../chart/chart-svg.js';
import { clockText } from '../facts/rows.js';
import { paintGround, paintOver } from './chart-ground.js';
import { type ChartTheme, readTheme } from './chart-theme.js';

/** Part of a test, seconds since the first reading. */
export interface View {
  readonly fromS: number;
  readonly toS: number;
}

export interface LiveChartOptions {
  readonly data: ChartData;
  /** Where it is drawn; its width is followed. */
  readonly place: HTMLElement;
  readonly heightPx: number;
  /** Told when another part is shown: finer rows may be given to {@link LiveChart.show} then. */
  readonly viewed: (view: View) => void;
  /** Told what the pointer is at; null when it has left. */
  readonly pointed: (at: { readonly s: number; readonly p: number | null; readonly o: number | null } | null) => void;
}

const leastViewS = 0.05;

/** A chart of a test to zoom into. It draws the rows it has; finer ones come when they come. */
export class LiveChart {
  readonly #options: LiveChartOptions;
  readonly #plot: uPlot;
  #theme: ChartTheme = readTheme();
  #view: View;
  #rows: Rows;

  constructor(options: LiveChartOptions) {
    this.#options = options;
    const { data, place, heightPx } = options;
    this.#view = this.whole;
    this.#rows = data.overview;
    this.#plot = new uPlot(this.#settings(place.clientWidth, heightPx), aligned(this.#rows), place);
    place.dataset.view = `0 ${this.whole.toS}`;
    this.#plot.over.addEventListener('dblclick', () => this.look(this.whole));
    this.#plot.over.addEventListener('mouseleave', () => options.pointed(null));
    new ResizeObserver(() => {
      if (place.clientWidth > 0) this.#plot.setSize({ width: place.clientWidth, height: heightPx });
    }).observe(place);
    matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => this.repaint());
  }

  get whole(): View {
    const { endS } = this.#options.data;
    return { fromS: 0, toS: endS > 0 ? endS : 1 };
  }

  get view(): View {
    return this.#view;
  }

  /** The colours may have changed. */
  repaint(): void {
    this.#theme = readTheme();
    this.#plot.redraw(false, true);
  }

  /** Shows a part: at once with the rows at hand, with finer ones when they are given. */
  look({ fromS, toS }: View): void {
    const { whole } = this;
    const span = Math.min(Math.max(toS - fromS, leastViewS), whole.toS);
    const from = Math.min(Math.max(0, fromS), whole.toS - span);
    this.#view = { fromS: from, toS: from + span };
    this.#rows = this.#atHand();
    this.#options.place.dataset.rows = 'at hand';
    this.#options.place.dataset.view = `${from} ${from + span}`;
    this.#draw();
    this.#options.viewed(this.#view);
  }

  /** Zooms by a factor about a place of the chart, 0 its left edge, 1 its right. */
  zoom(factor: number, about = 0.5): void {
    const { fromS, toS } = this.#view;
    const at = fromS + (toS - fromS) * about;
    this.look({ fromS: at - (at - fromS) * factor, toS: at + (toS - at) * factor });
  }

  /** Moves by a share of what is shown. */
  move(share: number): void {
    const { fromS, toS } = this.#view;
    const by = (toS - fromS) * share;
    this.look({ fromS: fromS + by, toS: toS + by });
  }

  /** Zooms with the wheel, about the pointer. */
  wheel(event: WheelEvent): void {
    const { left, width } = this.#plot.over.getBoundingClientRect();
    this.zoom(1.0015 ** event.deltaY, Math.min(1, Math.max(0, (event.clientX - left) / width)));
  }

  /** Finer rows for a part; left alone when another part is shown by now. */
  show(view: View, rows: Rows): void {
    if (view.fromS > this.#view.fromS || view.toS < this.#view.toS || rows.s.length === 0) return;
    this.#rows = rows;
    this.#options.place.dataset.rows = 'finer';
    this.#draw();
  }

  #atHand(): Rows {
    const { data } = this.#options;
    const { fromS, toS } = this.#view;
    const dwell = data.dwells.find((one) => one.fromS <= fromS && one.toS >= toS);
    return dwell?.rows ?? data.overview;
  }

  #draw(): void {
    const { fromS, toS } = this.#view;
    this.#plot.batch(() => {
      this.#plot.setData(aligned(this.#rows), false);
      this.#plot.setScale('x', { min: fromS, max: toS });
      const [min, max] = this.#levels();
      this.#plot.setScale('y', { min, max });
    });
  }

  /** The whole test from zero; a part of it as high as what is in it. */
  #levels(): [number, number] {
    const { data } = this.#options;
    const { fromS, toS } = this.#view;
    if (toS - fromS > 0.98 * this.whole.toS) return rangeOf(data);
    let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    const take = (y: number | null | undefined): void => {
      if (y === null || y === undefined) return;
      if (y < low) low = y;
      if (y > high) high = y;
    };
    const inDwell = data.dwells.some((one) => one.fromS < toS && one.toS > fromS);
    this.#rows.s.forEach((s, index) => {
      if (s < fromS || s > toS) return;
      take(this.#rows.p[index]);
      if (!inDwell) take(this.#rows.o?.[index]);
    });
    for (const line of data.lines) if (line.kind === 'allowed' && line.fromS < toS && line.toS > fromS) take(line.y);
    if (low > high) return rangeOf(data);
    const room = Math.max((high - low) * 0.12, Math.abs(high) * 1e-4, 1e-6);
    return [low - room, high + room];
  }

  #settings(width: number, height: number): uPlot.Options {
    const { data, pointed } = this.#options;
    const font = `12px ${getComputedStyle(this.#options.place).fontFamily}`;
    const axis = {
      font,
      stroke: () => this.#theme.quiet,
      grid: { stroke: () => this.#theme.grid, width: 1 },
      ticks: { stroke: () => this.#theme.grid, width: 1, size: 5 },
    };
    const [min, max] = rangeOf(data);
    return {
      width,
      height,
      legend: { show: false },
      cursor: { drag: { x: true, y: false, setScale: false }, points: { size: 8 } },
      scales: {
        x: { time: false, auto: false, range: () => [this.#view.fromS, this.#view.toS] },
        y: { auto: false, range: (_plot, low, high) => (low === null || high === null ? [min, max] : [low, high]) },
      },
      axes: [
        { ...axis, size: 34, incrs: [...clockSteps], space: 80, values: (_plot, splits) => clockTexts(splits) },
        {
          ...axis,
          size: 62,
          label: data.unit,
          labelSize: 18,
          labelFont: font,
          values: (_plot, splits) => levelTexts(splits, data.decimal),
        },
      ],
      series: [
        {},
        {
          label: data.words.pressure,
          stroke: () => this.#theme.pressure,
          width: 1.6,
          spanGaps: false,
          points: { show: false },
        },
        ...(data.overview.o === null
          ? []
          : [
              {
                label: data.words.opposite,
                stroke: () => this.#theme.opposite,
                width: 1.4,
                dash: [2, 3],
                points: { show: false },
              },
            ]),
      ],
      hooks: {
        ready: [
          (plot) => {
            plot.setScale('x', { min: this.#view.fromS, max: this.#view.toS });
            plot.setScale('y', { min, max });
          },
        ],
        drawClear: [(plot) => paintGround(plot, data, this.#theme)],
        draw: [(plot) => paintOver(plot, data, this.#theme)],
        setSelect: [
          (plot) => {
            if (plot.select.width < 4) return;
            const [fromS, toS] = [plot.select.left, plot.select.left + plot.select.width].map((px) =>
              plot.posToVal(px, 'x'),
            );
            plot.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
            if (fromS !== undefined && toS !== undefined) this.look({ fromS, toS });
          },
        ],
        setCursor: [
          (plot) => {
            const { idx, left } = plot.cursor;
            if (idx === null || idx === undefined || left === undefined || left < 0) return pointed(null);
            pointed({
              s: this.#rows.s[idx] ?? 0,
              p: this.#rows.p[idx] ?? null,
              o: this.#rows.o?.[idx] ?? null,
            });
          },
        ],
      },
    };
  }
}

const aligned = ({ s, p, o }: Rows): uPlot.AlignedData =>
  (o === null ? [s, p] : [s, p, o]) as unknown as uPlot.AlignedData;

function clockTexts(splits: readonly number[]): string[] {
  const step = (splits[1] ?? 1) - (splits[0] ?? 0);
  const decimals = step >= 1 ? 0 : step >= 0.1 ? 1 : 2;
  return splits.map((s) => clockText(s, decimals));
}

function levelTexts(splits: readonly number[], decimal: string): string[] {
  const step = Math.abs((splits[1] ?? 1) - (splits[0] ?? 0)) || 1;
  const decimals = Math.max(0, Math.min(6, Math.ceil(-Math.log10(step) - 1e-9)));
  return splits.map((value) => value.toFixed(decimals).replace('-', '−').replace('.', decimal));
}
