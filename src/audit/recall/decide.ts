import type { StatementSignature, Store } from '../../record/index.js';
import type { StatementKind } from '../../signing/index.js';
import { statementOf } from '../acts-of-authority.js';
import { type Decision, type Disposition, disposeRecall, dispositionStatement } from './disposition.js';
import type { RecallLine } from './recall.js';

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
