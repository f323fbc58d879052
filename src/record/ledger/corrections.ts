import { DwellmarkError, steeringSign } from '../../units/index.js';
import type { TestHeader } from '../header.js';
import type { SignedReason } from '../signature.js';
import type { LedgerLine, LedgerMark } from './act-kinds.js';
import type { Ledger } from './ledger.js';

/** What of a header may be corrected: words about the order, never anything that was measured or judged. */
export const correctable = ['customer', 'workOrder', 'address'] as const;
export type Correctable = (typeof correctable)[number];

/** One text put in place of another. */
export interface Change {
  readonly what: Correctable;
  readonly from: string;
  readonly to: string;
}

/** A signed amendment to what a test says of its order. The header stays as it was hashed. */
export interface Correction {
  readonly changes: readonly Change[];
  readonly by: string;
  readonly reason: string;
  readonly at: string;
  readonly position: number;
}

/** The text of a header that may be corrected. */
export const textOf = (header: TestHeader, what: Correctable): string =>
  what === 'address' ? (header.customerAddress ?? '') : header[what];

/** Corrections of a test among ledger lines, oldest first; a line that holds none is passed over, see {@link changesFault}. */
export const correctionsIn = (acts: readonly LedgerLine[], test: string): Correction[] =>
  acts
    .filter((line) => line.kind === 'test corrected' && line.test === test)
    .flatMap(({ at, position, body }) =>
      isChanges(body.changes)
        ? [{ changes: body.changes, by: String(body.by), reason: String(body.reason), at, position }]
        : [],
    );

/** A header as corrected: for papers, pages and lists. Its hash is that of the one it was made from. */
export function corrected(header: TestHeader, corrections: readonly Pick<Correction, 'changes'>[]): TestHeader {
  const changes = corrections.flatMap((one) => one.changes);
  const texts = changes.map(({ what, to }) => [what === 'address' ? 'customerAddress' : what, to] as const);
  return { ...header, ...Object.fromEntries(texts) };
}

/** Why these are no changes to a header as it stood, or null. */
export function changesFault(header: TestHeader, changes: unknown): string | null {
  if (!isChanges(changes)) return 'it names nothing that can be corrected';
  for (const { what, from, to } of changes) {
    if (textOf(header, what) !== from)
      return `it corrects the ${correctableName[what]} "${from}", which was "${textOf(header, what)}"`;
    if (to === from) return `the ${correctableName[what]} is "${to}" already`;
    if (to.trim() === '' || steeringSign(to) !== null) return `the ${correctableName[what]} must be a line of text`;
  }
  return null;
}

/** As a person reads it. */
export const correctableName: Readonly<Record<Correctable, string>> = {
  customer: 'customer',
  workOrder: 'work order',
  address: "customer's address",
};

function isChanges(value: unknown): value is readonly Change[] {
  if (!Array.isArray(value) || value.length === 0) return false;
  const whole = value.every(
    (change) =>
      typeof change === 'object' &&
      change !== null &&
      correctable.includes(change.what) &&
      typeof change.from === 'string' &&
      typeof change.to === 'string',
  );
  return whole && new Set(value.map(({ what }) => what)).size === value.length;
}

/** Enters a correction. @throws DwellmarkError (`refused`) for one that does not fit the test as it stands. */
export function correctTest(
  ledger: Ledger,
  header: TestHeader,
  changes: readonly Change[],
  why: Required<SignedReason>,
): LedgerMark {
  const { test } = header;
  const fault = changesFault(corrected(header, correctionsIn(ledger.about(test), test)), changes);
  if (fault !== null) throw new DwellmarkError('refused', `test ${test} can't be corrected so: ${fault}`);
  return ledger.act('test corrected', { changes, ...why }, { test, subject: test });
}
