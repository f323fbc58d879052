import { type TraceColumns, thinnedAt } from '../../certificate/index.js';

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
