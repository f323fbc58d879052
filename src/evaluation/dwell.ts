import type { ReadingColumns } from '../gauge/index.js';
import type { DwellContext, EarlyWord } from './context.js';
import { earlyWord } from './early.js';
import type { StageResult } from './result.js';
import { type DwellEnd, stageResult } from './stage-result.js';
import { DwellTrace } from './trace/dwell-trace.js';

export { stageNotReached } from './stage-result.js';

/** One running dwell: takes readings in constant memory, gives an early word at any time and a result at the end. */
export interface Dwell {
  /** The first reading starts the dwell's clock, also when it has no value. */
  add(timeUs: number, pressurePa: number | null, oilK: number | null, flags: number): void;
  /** Readings of an index up to another: what {@link add} makes of each in turn. */
  addColumns(readings: ReadingColumns, from: number, until: number): void;
  /** An oil temperature that a person read and typed, K. */
  typedOil(timeUs: number, oilK: number): void;
  /** The oil temperature typed at that time was wrong. */
  typedOilTakenBack(timeUs: number): void;
  /** The running estimate, made anew once a second at first, and after a fortieth of the time held later on. */
  early(nowUs: number): EarlyWord;
  /** Ends the dwell; readings added later don't count. */
  finish(end: DwellEnd): StageResult;
}

/**
 * Starts the evaluation of one dwell.
 * @example
 * const dwell = startDwell(context);
 * for (const r of readings) dwell.add(r.timeUs, r.pressurePa, r.oilK, r.flags);
 * dwell.finish({ endUs: 300_000_000, cutShort: false, voided: null }).verdict // 'pass'
 */
export function startDwell(context: DwellContext): Dwell {
  const trace = new DwellTrace(context.gauge.resolutionPa);
  let ended = false;
  let said: { readonly atUs: number; readonly word: EarlyWord } | null = null;
  return {
    add(timeUs, pressurePa, oilK, flags) {
      if (!ended) trace.add(timeUs, pressurePa, oilK, flags);
    },
    addColumns(readings, from, until) {
      if (!ended) trace.addColumns(readings, from, until);
    },
    typedOil(timeUs, oilK) {
      if (!ended) trace.typedOil(timeUs, oilK);
    },
    typedOilTakenBack(timeUs) {
      if (!ended) trace.typedOilTakenBack(timeUs);
    },
    early(nowUs) {
      const everyUs = Math.max(1e6, (nowUs - (trace.startUs ?? nowUs)) / 40);
      if (!said || nowUs - said.atUs >= everyUs) said = { atUs: nowUs, word: earlyWord(trace.state(), context, nowUs) };
      return said.word;
    },
    finish(end) {
      ended = true;
      trace.close();
      return stageResult(trace.state(), context, end);
    },
  };
}
