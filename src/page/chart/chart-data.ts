import {
  type Figures,
  firstAtOrAfter,
  fitLine,
  type Hold,
  type TraceColumns,
  type TraceStory,
  thinnedAt,
  type Words,
} from '../../certificate/index.js';
import type { TestResult } from '../../evaluation/index.js';
import { shownUnit, valueIn } from '../../units/index.js';
import { toldEvents } from '../facts/rows.js';

/** Readings to be drawn: columns of one length, times in seconds since the first reading, pressures as asked for. */
export interface Rows {
  readonly s: readonly number[];
  readonly p: readonly (number | null)[];
  /** The opposite port; null when it was never measured. */
  readonly o: readonly (number | null)[] | null;
}

/**
 * The readings between two times, thinned to the lowest and highest of each slice of time, of either port; null where
 * there is none.
 * @param toY pressure as it is drawn, of one in pascals
 */
export function thinRows(
  trace: TraceColumns,
  fromUs: number,
  toUs: number,
  columns: number,
  toY: (pa: number) => number,
): Rows {
  const { timeUs, pressurePa, oppositePa } = trace;
  const firstUs = timeUs[0] ?? 0;
  const kept = new Map<number, boolean>();
  for (const values of oppositePa === null ? [pressurePa] : [pressurePa, oppositePa])
    for (const at of thinnedAt(timeUs, values, fromUs, toUs, columns)) {
      if (at >= 0) kept.set(at, kept.get(at) ?? false);
      else kept.set(-at, true);
    }
  const s: number[] = [];
  const p: (number | null)[] = [];
  const o: (number | null)[] = [];
  const value = (values: Float64Array, at: number): number | null => {
    const pa = values[at] ?? Number.NaN;
    return Number.isNaN(pa) ? null : toY(pa);
  };
  for (const [at, gapBefore] of [...kept].toSorted(([a], [b]) => a - b)) {
    const seconds = ((timeUs[at] ?? 0) - firstUs) / 1e6;
    if (gapBefore && s.length > 0) {
      s.push(((s.at(-1) ?? seconds) + seconds) / 2);
      p.push(null);
      o.push(null);
    }
    s.push(seconds);
    p.push(value(pressurePa, at));
    if (oppositePa !== null) o.push(value(oppositePa, at));
  }
  return { s, p, o: oppositePa === null ? null : o };
}

/** All that a chart of a test draws, in the reader's units, seconds since the first reading. Plain JSON. */
export interface ChartData {
  readonly unit: string;
  /** The unit's name as the units know it. */
  readonly unitName: string;
  readonly decimal: string;
  /** Monotonic time of the first reading, microseconds. */
  readonly firstUs: number;
  readonly endS: number;
  readonly peakText: string;
  readonly words: { readonly [Name in WordName]: string };
  readonly overview: Rows;
  readonly spans: readonly { readonly label: string; readonly fromS: number; readonly toS: number }[];
  readonly settling: readonly Stretch[];
  readonly lines: readonly Line[];
  readonly dwells: readonly DwellView[];
  readonly marks: readonly { readonly s: number; readonly text: string }[];
  readonly events: readonly { readonly s: number; readonly text: string; readonly grade: string }[];
}

type WordName =
  | 'pressure'
  | 'opposite'
  | 'target'
  | 'allowed'
  | 'overpressure'
  | 'fit'
  | 'band'
  | 'stabilise'
  | 'dwell';

interface Stretch {
  readonly fromS: number;
  readonly toS: number;
}

/** A level that was to be kept to, over a stretch. */
export interface Line extends Stretch {
  readonly kind: 'target' | 'allowed' | 'overpressure';
  readonly y: number;
}

/** A dwell by itself: its readings thinned less, and its fit with half the width of the band. */
export interface DwellView extends Stretch {
  readonly label: string;
  readonly startText: string;
  readonly endText: string;
  readonly limit: number | null;
  readonly rows: Rows;
  readonly fit: readonly { readonly s: number; readonly y: number; readonly half: number }[];
}

const overviewColumns = 900;
const dwellColumns = 500;

export function chartData(story: TraceStory, result: TestResult, words: Words, figures: Figures): ChartData {
  const { trace, unit } = story;
  const firstUs = trace.timeUs[0] ?? 0;
  const lastUs = trace.timeUs.at(-1) ?? 0;
  const s = (us: number): number => (us - firstUs) / 1e6;
  const y = toShown(unit);
  const line = (kind: Line['kind'], pa: number | null, fromUs: number, toUs: number): Line[] =>
    pa === null || Number.isNaN(pa) ? [] : [{ kind, y: y(pa), fromS: s(fromUs), toS: s(toUs) }];
  const holds = story.spans.flatMap((span) => span.holds);
  return {
    unit: shownUnit(unit),
    unitName: unit,
    decimal: story.decimal,
    firstUs,
    endS: s(lastUs),
    peakText: figures.pressure(peakOf(trace.pressurePa)),
    words: {
      pressure: words.say('chart.pressure'),
      opposite: words.say('chart.opposite'),
      target: words.say('chart.target'),
      allowed: story.words.allowed,
      overpressure: words.say('chart.overpressure'),
      fit: words.say('chart.fit'),
      band: words.say('chart.band'),
      stabilise: words.say('chart.stabilise'),
      dwell: words.say('chart.dwell'),
    },
    overview: thinRows(trace, firstUs, lastUs, overviewColumns, y),
    spans: story.spans.map(({ label, fromUs, toUs }) => ({ label, fromS: s(fromUs), toS: s(toUs) })),
    settling: story.spans.flatMap(({ settling }) =>
      settling.map(({ fromUs, toUs }) => ({ fromS: s(fromUs), toS: s(toUs) })),
    ),
    lines: [
      ...story.spans.flatMap(({ overpressurePa, fromUs, toUs }) => line('overpressure', overpressurePa, fromUs, toUs)),
      ...holds.flatMap(({ targetPa, fromUs, toUs }) => line('target', targetPa, fromUs, toUs)),
      ...holds.flatMap(({ limitPa, fromUs, toUs }) => line('allowed', limitPa, fromUs, toUs)),
    ],
    dwells: holds.map((hold) => dwellView(hold, story, s, y, figures)),
    marks: story.marks.map(({ timeUs, text }) => ({ s: s(timeUs), text })),
    events: toldEvents(result).map(({ timeUs, text, grade }) => ({ s: s(timeUs), text: figures.spelled(text), grade })),
  };
}

/** Pressures in a unit, to seven digits: finer than any gauge. */
export const toShown =
  (unit: string) =>
  (pa: number): number =>
    Number(valueIn(pa, 'pressure', unit).toPrecision(7));

function dwellView(
  hold: Hold,
  { trace }: TraceStory,
  s: (us: number) => number,
  y: (pa: number) => number,
  figures: Figures,
): DwellView {
  const fit = fitLine(trace, hold);
  const level = (us: number): string => {
    const at = Math.min(firstAtOrAfter(trace.timeUs, us), trace.timeUs.length - 1);
    const pa = trace.pressurePa[at] ?? Number.NaN;
    return Number.isNaN(pa) ? '–' : figures.pressure(pa);
  };
  return {
    label: hold.label,
    fromS: s(hold.fromUs),
    toS: s(hold.toUs),
    startText: level(hold.fromUs),
    endText: level(hold.toUs),
    limit: hold.limitPa === null ? null : y(hold.limitPa),
    rows: thinRows(trace, hold.fromUs, hold.toUs, dwellColumns, y),
    fit: fit.map(({ timeUs, pa, halfWidthPa }) => ({
      s: s(timeUs),
      y: y(pa),
      half: Number((y(pa + halfWidthPa) - y(pa)).toPrecision(5)),
    })),
  };
}

function peakOf(values: Float64Array): number {
  let peak = Number.NaN;
  for (const value of values) if (!(value <= peak) && !Number.isNaN(value)) peak = value;
  return peak;
}
