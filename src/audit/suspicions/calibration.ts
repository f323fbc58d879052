import type { CalibrationSpec } from '../../procedure/index.js';
import type { EnteredCalibration, KnownGauge, TestHeader } from '../../record/index.js';
import { grouped } from './gauge-habits.js';
import type { Suspicion, SuspicionKind } from './suspicion.js';

/** What a test says of its gauge's calibration, and since when the ledger knows the test. */
export interface CalibratedTest {
  readonly test: string;
  readonly gauge: string;
  /** ISO date of the test. */
  readonly day: string;
  readonly calibration: CalibrationSpec | undefined;
  /** Ledger position of its start. */
  readonly position: number;
}

export const calibratedTest = (header: TestHeader, position: number): CalibratedTest => ({
  test: header.test,
  gauge: header.plan.gauge.serial,
  day: header.startedAt.slice(0, 10),
  calibration: header.plan.gauge.calibration,
  position,
});

/** Tests whose gauge had no calibration in force, or leaned on another than the record has for that day. */
export function calibrationDoubts(tests: readonly CalibratedTest[], gauges: readonly KnownGauge[]): Suspicion[] {
  const entered = new Map(gauges.map(({ serial, calibrations }) => [serial, calibrations]));
  const doubts = tests.flatMap((test) => {
    const doubt = doubtOf(test, entered.get(test.gauge) ?? []);
    return doubt ? [{ test, ...doubt }] : [];
  });
  const key = ({ test, kind, what }: (typeof doubts)[number]): string => `${kind}\u0000${test.gauge}\u0000${what}`;
  return [...grouped(doubts, key).values()].flatMap((group) => {
    const [first] = group;
    if (!first) return [];
    const names = group.map(({ test }) => test.test);
    const days = group.map(({ test }) => test.day).sort();
    const [from = '', to = ''] = [days[0], days.at(-1)];
    return {
      kind: first.kind,
      tests: names,
      text: `gauge ${first.test.gauge} is in ${names.length === 1 ? names[0] : `${names.length} tests`} ${from === to ? `of ${from}` : `from ${from} to ${to}`} ${first.what}`,
      evidence: { gauge: first.test.gauge, from, to, ...first.evidence },
    };
  });
}

interface Doubt {
  readonly kind: SuspicionKind;
  readonly what: string;
  readonly evidence: Suspicion['evidence'];
}

function doubtOf(test: CalibratedTest, entered: readonly EnteredCalibration[]): Doubt | null {
  const { calibration, day, position } = test;
  if (!calibration) return { kind: 'no calibration', what: 'with no calibration stated', evidence: {} };
  const { certificate, date, due } = calibration;
  if (date > day)
    return {
      kind: 'calibration after the test',
      what: `with calibration ${certificate}, which was made on ${date}`,
      evidence: { certificate, date },
    };
  if (due < day)
    return {
      kind: 'calibration overdue',
      what: `with calibration ${certificate}, which was due on ${due}`,
      evidence: { certificate, due },
    };
  const inForce = entered
    .filter((one) => one.position < position && one.date <= day)
    .reduce<EnteredCalibration | undefined>(
      (newest, one) => (newest && newest.date > one.date ? newest : one),
      undefined,
    );
  if (!inForce || inForce.date < date || inForce.certificate === certificate) return null;
  return {
    kind: 'another calibration than in force',
    what: `with calibration ${certificate} of ${date}, when ${inForce.certificate} of ${inForce.date} was in force (ledger line ${inForce.position})`,
    evidence: { certificate, inForce: inForce.certificate, position: inForce.position },
  };
}
