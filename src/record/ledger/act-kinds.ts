/** Every act that leaves a line in the ledger. A name once used is never given another meaning. */
export const actKinds = [
  'store created',
  'store migrated',
  'test started',
  'test resumed',
  'test sealed',
  'test voided',
  'test corrected',
  'signed',
  'signer enrolled',
  'signer revoked',
  'signer locked out',
  'certificate issued',
  'certificate voided',
  'shop certificate renewed',
  'gauge entered',
  'calibration entered',
  'recall disposition',
  'audit reported',
  'backup made',
] as const;
export type ActKind = (typeof actKinds)[number];

/** A line of the ledger, as it is hashed (RFC 8785) and as it is read. */
export interface LedgerLine {
  readonly position: number;
  readonly kind: ActKind;
  /** Wall clock, ISO 8601 with offset. */
  readonly at: string;
  /** Clock that never steps, milliseconds since the computer started; with `session` the steps of the wall clock show. */
  readonly monotonicMs: number;
  /** One run of the program: monotonic times of one session may be compared. */
  readonly session: string;
  /** The test it is about, `T-2026-0007`, or null. */
  readonly test: string | null;
  /** What else it is about: a signer's id, a certificate's number, a gauge's serial; or null. */
  readonly subject: string | null;
  readonly body: Readonly<Record<string, unknown>>;
}

/** A ledger position with the head of the chain there, hex: printed on certificates, and an anchor for verify. */
export interface LedgerMark {
  readonly position: number;
  readonly head: string;
}
