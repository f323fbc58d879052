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

export type SuspicionKind =
  | 'same trace'
  | 'nearly the same trace'
  | 'repeated stretch'
  | 'frozen run'
  | 'smoother than its gauge'
  | 'gap'
  | 'overlap on one gauge'
  | 'too many in a shift'
  | 'quicker than its readings'
  | 'dated otherwise'
  | 'clock step'
  | 'outside authority'
  | 'one file under two numbers'
  | 'withdrawn but not voided';

/** What is credible in a shop. */
export interface Credible {
  /** Tests that one person can run in a shift of eight hours; 10 to 20 are credible, 104 were claimed in one court case. */
  readonly testsAShift: number;
}

export const usuallyCredible: Credible = { testsAShift: 20 };
