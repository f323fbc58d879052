import type { SignatureMeaning } from '../../record/index.js';

/** What doesn't look right, with the evidence. Never a verdict: each has an innocent explanation that a person must rule out. */
export interface Suspicion {
  readonly kind: SuspicionKind;
  /** Tests it is about. */
  readonly tests: readonly string[];
  /** One sentence with the figures. */
  readonly text: string;
  /** Where to look: ledger positions, readings, times. */
  readonly evidence: Readonly<Record<string, string | number>>;
}

/** Everything that is looked for, in the order it is reported; with what an innocent case of it would be. */
export const suspicionKinds = {
  'same trace': 'one log imported twice; at the bench, a simulated gauge that is not marked as one',
  'nearly the same trace':
    'one log imported twice, once cut or converted; at the bench, a simulated gauge that is not marked as one',
  'repeated stretch': 'a logger that wrote a block twice',
  'frozen run': 'a gauge between two digits for once, or one that stuck',
  'smoother than its gauge': "a change of the gauge's filter",
  gap: 'a cable that came loose and was not put down',
  'overlap on one gauge': 'a clock that was set, or a wrong serial in a job',
  'too many in a shift': 'a name that several people used',
  'quicker than its readings': 'a driver that stamps times of its own',
  'dated otherwise': 'a job that lay open before the test began',
  'clock step': 'a clock put right, or the change to summer time on a computer that keeps local time',
  'never sealed': 'a power cut, and a test that nobody closed',
  'no calibration': 'a calibration that nobody entered',
  'calibration overdue': 'a new calibration that was entered late',
  'calibration after the test': 'a wrong date in a job or in the calibration',
  'another calibration than in force': 'a calibration that was entered after the job was prepared',
  'outside authority': 'a person enrolled anew, or a shop of one person',
  'one name on two keys': 'a person who runs tests and reviews those of others, with a key for each',
  'enrolled to sign': 'a new inspector, on the first day, with tests that waited',
  'certificate unsigned': 'a rule on signatures that came later',
  'one file under two numbers': 'a mistyped number',
  'withdrawn but not voided': 'a recall that goes on',
  'certificate on a void test': 'a certificate that is still to be voided',
  'certificate not corrected': 'a certificate that is still to be reissued',
  'certificate on a rejected test': 'a certificate that is still to be voided',
} as const;

export type SuspicionKind = keyof typeof suspicionKinds;

/** What is credible in a shop. */
export interface Credible {
  /** Tests that one person can run in a shift of eight hours; 10 to 20 are credible, 104 were claimed in one court case. */
  readonly testsAShift: number;
  /** Signatures that a certificate of this shop needs. */
  readonly required?: readonly SignatureMeaning[];
}

export const usuallyCredible: Credible = { testsAShift: 20 };
