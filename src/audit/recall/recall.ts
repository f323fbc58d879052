import type { TestResult, Verdict } from '../../evaluation/index.js';
import { type GaugeDuty, gaugesInTest } from '../../procedure/index.js';
import type { Store } from '../../record/index.js';
import type { Judge } from '../checked-test.js';
import { type Disposition, dispositionOf } from './disposition.js';
import { type GaugeError, readTrue } from './gauge-error.js';

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
  /** What the gauge gave in it. */
  readonly gave: string;
  readonly verdict: Verdict | null;
  /** Greatest pressure shown in it at the port under test. */
  readonly peakPa: number | null;
  /** The verdict had the gauge read true; null without a stated error, for a test never sealed, or for an oil probe. */
  readonly verdictIfTrue: Verdict | null;
  readonly changes: boolean;
  /** Why it would be another: what is then said of the ports that change; in the marks of a core text. */
  readonly whyIfTrue: string | null;
  /** The test was struck out. */
  readonly voided: boolean;
  readonly certificates: readonly { readonly number: string; readonly voided: boolean }[];
  /** The newest decision on it, or null: a recall with such a line is not finished. */
  readonly disposition: Disposition | null;
}

/** Every test that a gauge took part in within a window, oldest first, each with what would change and what was decided. */
export function* recall(
  store: Store,
  question: RecallQuestion,
  judge: Judge | null,
  progress?: (done: number, of: number, test: string) => void,
): Iterable<RecallLine> {
  const { gauge, since, until, error } = question;
  const filter = { gauge, since, order: 'oldest first', ...(until === undefined ? {} : { until }) } as const;
  const lines = store.tests(filter);
  for (const [index, line] of lines.entries()) {
    progress?.(index, lines.length, line.test);
    const { certificates, header, seal, voided } = store.test(line.test);
    const part = gaugesInTest(header.plan).find(({ serial }) => serial === gauge);
    if (!part && header.plan.gauge.serial !== gauge) continue;
    const looks = store.quickLooks(line.test);
    const inputs = () => (error ? readTrue(header, store.inputs(line.test), gauge, error) : []);
    const readsPressure = part?.spec !== null;
    const again = judge && error && seal && readsPressure ? judge(header, inputs()) : null;
    const changes = again !== null && again.verdict !== line.verdict;
    yield {
      test: line.test,
      startedAt: line.startedAt,
      customer: line.customer,
      workOrder: line.workOrder,
      serial: line.serial,
      gave: gaveText(part?.duties ?? []),
      verdict: line.verdict,
      peakPa: looks.reduce<number | null>((peak, { maxPa }) => greater(peak, maxPa), null),
      verdictIfTrue: again?.verdict ?? null,
      changes,
      whyIfTrue: changes && seal ? changedPorts(seal.result, again) : null,
      voided: voided !== null,
      certificates: certificates.map(({ number, voided: struck, replacedBy }) => ({
        number,
        voided: struck !== null || replacedBy !== null,
      })),
      disposition: dispositionOf(store, line.test, gauge),
    };
  }
}

/** `pressure at A and B`, `opposite pressure while A`, `oil temperature`. */
function gaveText(duties: readonly GaugeDuty[]): string {
  const ports = (gives: 'pressure' | 'opposite') =>
    duties.flatMap((duty) => (duty.gives === gives ? [duty.whileTesting] : [])).join(' and ');
  const [pressure, opposite] = [ports('pressure'), ports('opposite')];
  const texts = [
    ...(pressure === '' ? [] : [`pressure at ${pressure}`]),
    ...(opposite === '' ? [] : [`pressure opposite ${opposite}`]),
    ...(duties.some(({ gives }) => gives === 'oil') ? ['oil temperature'] : []),
  ];
  return texts.length === 0 ? 'pressure' : texts.join(', ');
}

/** `port A: did not reach …; port B: …`, of the ports whose verdict changes. */
function changedPorts(stored: TestResult, again: TestResult): string {
  return again.ports
    .filter(({ port, verdict }) => stored.ports.find((one) => one.port === port)?.verdict !== verdict)
    .map(({ port, reason }) => `port ${port}: ${reason}`)
    .join('; ');
}

const greater = (a: number | null, b: number | null): number | null => (a === null || (b !== null && b > a) ? b : a);
