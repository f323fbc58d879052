import { everyAttempt, type Figures, firstAtOrAfter, type TraceColumns, type Words } from '../../certificate/index.js';
import type { TestResult } from '../../evaluation/index.js';
import { spellDuration } from '../../units/index.js';
import { clockText } from './clock-text.js';

/** One phase of one attempt, as it is told. */
export interface PhaseRow {
  readonly port: string;
  readonly attempt: string;
  readonly stage: string;
  readonly phase: string;
  readonly from: string;
  readonly lasted: string;
  readonly pressure: string;
}

/** The phases in order, each until the next began. */
export function phaseRows(
  result: TestResult,
  trace: TraceColumns,
  words: Words,
  figures: Figures,
): readonly PhaseRow[] {
  const firstUs = trace.timeUs[0] ?? 0;
  const lastUs = trace.timeUs.at(-1) ?? 0;
  const begun = everyAttempt(result.ports)
    .flatMap(({ events }) => events)
    .filter(({ code }) => code === 'phase')
    .toSorted((a, b) => a.timeUs - b.timeUs);
  return begun.flatMap((event, index) => {
    if (event.phase === 'done') return [];
    const endUs = Math.max(event.timeUs, begun[index + 1]?.timeUs ?? lastUs);
    return [
      {
        port: event.port,
        attempt: String(event.attempt),
        stage: event.stage === null ? '' : words.term(event.stage),
        phase: words.term(event.phase),
        from: clockText((event.timeUs - firstUs) / 1e6),
        lasted: spellDuration((endUs - event.timeUs) / 1e6),
        pressure: `${levelAt(event.timeUs, trace, figures)} – ${levelAt(endUs, trace, figures)}`,
      },
    ];
  });
}

/** The reading at a time: the first at or after it that has a value. */
function levelAt(timeUs: number, trace: TraceColumns, figures: Figures): string {
  const at = Math.min(firstAtOrAfter(trace.timeUs, timeUs), trace.timeUs.length - 1);
  for (let index = at; index < Math.min(at + 100, trace.pressurePa.length); index += 1) {
    const pa = trace.pressurePa[index] ?? Number.NaN;
    if (!Number.isNaN(pa)) return figures.pressure(pa);
  }
  return '–';
}
