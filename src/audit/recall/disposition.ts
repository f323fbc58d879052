import { gaugesInTest } from '../../procedure/index.js';
import type { LedgerLine, LedgerMark, StatementSignature, Store } from '../../record/index.js';
import { type StatementKind, statementFault } from '../../signing/index.js';
import { DwellmarkError } from '../../units/index.js';
import { statementOf } from '../check-authority.js';
import type { RecallLine } from './recall.js';

export const decisions = ['stands', 'test again', 'certificate withdrawn'] as const;
export type Decision = (typeof decisions)[number];

/** What was decided about one test of a recall, by whom and why. */
export interface Disposition {
  readonly decision: Decision;
  readonly by: string;
  readonly why: string;
  /** ISO date. */
  readonly customerToldAt?: string;
  /** When the ledger took it down. */
  readonly at: string;
  /** Over {@link dispositionStatement}; absent where nobody gave a passphrase. */
  readonly signature?: StatementSignature;
}

/** A decision with the test and the gauge it is about: what is signed. */
export const dispositionStatement = (
  { test, gauge }: { readonly test: string; readonly gauge: string },
  { decision, by, why, customerToldAt }: Omit<Disposition, 'at' | 'signature'>,
) => ({ test, gauge, decision, by, why, customerToldAt: customerToldAt ?? null });

/** Puts down what was decided about one test of a recall. Voiding a certificate is an act of its own. */
export function disposeRecall(
  store: Store,
  about: { readonly test: string; readonly gauge: string },
  decision: Omit<Disposition, 'at'>,
): LedgerMark {
  if (!tookPart(store, about.test, about.gauge))
    throw new DwellmarkError('input', `test ${about.test} was not made with gauge ${about.gauge}`);
  return store.act('recall disposition', { ...decision }, { test: about.test, subject: about.gauge });
}

const tookPart = (store: Store, test: string, gauge: string): boolean => {
  const { plan } = store.test(test).header;
  return plan.gauge.serial === gauge || gaugesInTest(plan).some(({ serial }) => serial === gauge);
};

/** The decision that a ledger line holds. */
export const dispositionIn = (line: LedgerLine): Disposition => ({
  ...(line.body as unknown as Omit<Disposition, 'at'>),
  at: line.at,
});

/** The newest decision on a test in a recall of a gauge, or null. */
export function dispositionOf(store: Store, test: string, gauge: string): Disposition | null {
  const line = store.acts('recall disposition', { test, subject: gauge }).at(-1);
  return line ? dispositionIn(line) : null;
}

/** Why the signature on a decision's ledger line does not hold, or null; null too where there is none. */
export function dispositionFault(line: LedgerLine, enrolledKeys: ReadonlyMap<string, string>): string | null {
  const { signature, ...decided } = dispositionIn(line);
  if (!signature) return null;
  const about = { test: line.test ?? '', gauge: line.subject ?? '' };
  const key = enrolledKeys.get(signature.signer?.id);
  if (key === undefined) return `nobody is enrolled as "${signature.signer?.id}"`;
  return statementFault('recall disposition', dispositionStatement(about, decided), signature, key);
}

/** What is decided about tests of a recall, and by whom. */
export interface RecallDecision {
  readonly gauge: string;
  readonly decision: Decision;
  readonly by: string;
  readonly why: string;
  readonly customerToldAt?: string;
  /** Void the certificates that still stand on the tests. */
  readonly voidCertificates: boolean;
  readonly sign: (kind: StatementKind, statement: unknown) => StatementSignature;
}

/** What came of it for one test. */
export interface Decided {
  readonly test: string;
  /** False when the same had been put down before. */
  readonly written: boolean;
  readonly certificatesVoided: readonly string[];
}

/**
 * Puts a decision down for each test, one after another, each in the ledger before the next. What stands there already
 * is not written again: after an interruption the same call goes on where it ended.
 */
export function* decideRecall(
  store: Store,
  lines: readonly RecallLine[],
  { gauge, voidCertificates, sign, ...decided }: RecallDecision,
): Iterable<Decided> {
  const { decision, by, why, customerToldAt } = decided;
  const disposition = { decision, by, why, ...(customerToldAt === undefined ? {} : { customerToldAt }) };
  for (const { test, disposition: before, certificates } of lines) {
    const written = !same(before, disposition);
    if (written) {
      const about = { test, gauge };
      const signature = sign('recall disposition', dispositionStatement(about, disposition));
      disposeRecall(store, about, { ...disposition, signature });
    }
    const standing = voidCertificates ? certificates.filter(({ voided }) => !voided).map(({ number }) => number) : [];
    for (const number of standing) {
      const reason = { by, reason: `recall of gauge ${gauge}: ${why}` };
      const signature = sign('void', statementOf({ test, subject: number, body: { number, ...reason } }));
      store.voidCertificate(number, { ...reason, signature });
    }
    yield { test, written, certificatesVoided: standing };
  }
}

const same = (before: Disposition | null, now: Omit<Disposition, 'at'>): boolean =>
  before !== null &&
  before.decision === now.decision &&
  before.by === now.by &&
  before.why === now.why &&
  before.customerToldAt === now.customerToldAt;
