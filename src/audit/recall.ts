import type { Verdict } from '../evaluation/index.js';
import type { HoldInput } from '../holdtest/index.js';
import type { LedgerMark, Store } from '../record/index.js';
import { DwellmarkError, pressurePa } from '../units/index.js';
import type { Judge } from './checked-now.js';

/**
 * How far off a gauge was found: it read `fraction` of the true pressure too much (0.01: 1 %) and `offsetPa` on top. The
 * true pressure is (indicated - offset) / (1 + fraction).
 */
export interface GaugeError {
  readonly fraction: number;
  readonly offsetPa: number;
}

export interface RecallQuestion {
  /** Serial on the instrument. */
  readonly gauge: string;
  /** From the last good calibration to the one that failed: dates, or points in time (ISO 8601). */
  readonly since: string;
  readonly until?: string;
  /** What the failed calibration found, to judge every test again with it. */
  readonly error?: GaugeError;
}

/** A test that leans on the gauge. */
export interface RecallLine {
  readonly test: string;
  readonly startedAt: string;
  readonly customer: string;
  readonly workOrder: string;
  /** The cylinder's. */
  readonly serial: string;
  readonly verdict: Verdict | null;
  /** Greatest pressure the gauge showed in it. */
  readonly peakPa: number | null;
  /** The verdict had the gauge read true; null without a stated error, or for a test never sealed. */
  readonly verdictIfTrue: Verdict | null;
  readonly changes: boolean;
  readonly certificates: readonly { readonly number: string; readonly voided: boolean }[];
  /** The newest decision on it, or null: a recall with such a line is not finished. */
  readonly disposition: Disposition | null;
}

/** What was decided about one test of a recall, by whom and why. */
export interface Disposition {
  readonly decision: 'stands' | 'test again' | 'certificate withdrawn';
  readonly by: string;
  readonly why: string;
  readonly customerToldAt?: string;
  readonly at: string;
}

/** Every test made with a gauge in a window, oldest first, each with what would change and what was decided. */
export function* recall(store: Store, question: RecallQuestion, judge: Judge | null): Iterable<RecallLine> {
  const { gauge, since, until, error } = question;
  const filter = { gauge, since, order: 'oldest first', ...(until === undefined ? {} : { until }) } as const;
  for (const line of store.tests(filter)) {
    if (line.gauge !== gauge) continue;
    const { certificates, header, seal } = store.test(line.test);
    const looks = store.quickLooks(line.test);
    const again = judge && error && seal ? judge(header, shifted(store.inputs(line.test), error)).verdict : null;
    yield {
      test: line.test,
      startedAt: line.startedAt,
      customer: line.customer,
      workOrder: line.workOrder,
      serial: line.serial,
      verdict: line.verdict,
      peakPa: looks.reduce<number | null>((peak, { maxPa }) => greater(peak, maxPa), null),
      verdictIfTrue: again,
      changes: again !== null && again !== line.verdict,
      certificates: certificates.map(({ number, voided }) => ({ number, voided: voided !== null })),
      disposition: dispositionOf(store, line.test, gauge),
    };
  }
}

/** The same inputs with the readings that a true gauge would have given, in whole pascals. */
export function* shifted(inputs: Iterable<HoldInput>, error: GaugeError): Iterable<HoldInput> {
  if (!(error.fraction > -1))
    throw new DwellmarkError('usage', `a gauge can't read ${error.fraction * 100} % too much`);
  for (const input of inputs) {
    const pressure = input.kind === 'reading' ? input.reading.pressurePa : null;
    if (input.kind !== 'reading' || pressure === null) yield input;
    else {
      const truePa = pressurePa(Math.round((pressure - error.offsetPa) / (1 + error.fraction)));
      yield { kind: 'reading', reading: { ...input.reading, pressurePa: truePa } };
    }
  }
}

/** Puts down what was decided about one test of a recall. Voiding a certificate is an act of its own. */
export function disposeRecall(
  store: Store,
  about: { readonly test: string; readonly gauge: string },
  decision: Omit<Disposition, 'at'>,
): LedgerMark {
  if (store.test(about.test).header.plan.gauge.serial !== about.gauge)
    throw new DwellmarkError('input', `test ${about.test} was not made with gauge ${about.gauge}`);
  return store.act('recall disposition', { ...decision }, { test: about.test, subject: about.gauge });
}

function dispositionOf(store: Store, test: string, gauge: string): Disposition | null {
  const line = store.acts('recall disposition', { test, subject: gauge }).at(-1);
  return line ? { ...(line.body as unknown as Omit<Disposition, 'at'>), at: line.at } : null;
}

const greater = (a: number | null, b: number | null): number | null => (a === null || (b !== null && b > a) ? b : a);
