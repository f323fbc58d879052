import type { Store } from '../../record/index.js';
import { keyFingerprint, statementFault } from '../../signing/index.js';
import { DwellmarkError } from '../../units/index.js';
import { checkLedger } from '../check-ledger.js';
import { type CheckReport, Findings } from '../findings.js';
import type { AuditReport } from './audit-report.js';
import { openSignedReport, type SignedReport } from './signed-report.js';

/**
 * Checks a signed audit report: that not a byte of it was changed and who signed it; with the shop's store also that
 * this person was enrolled, that the ledger has the report, and that the store still holds what was audited.
 */
export function verifyReport(text: string, store: Store | null): CheckReport & { readonly report: AuditReport | null } {
  const findings = new Findings();
  const opened = findings.tried('audit report', () => openSignedReport(text));
  if (opened) {
    const { statement, signature, report } = opened;
    const fault = statementFault('audit report', statement, signature);
    if (fault) findings.problem('audit report', fault);
    else
      findings.checked(
        `the report: every byte as ${signature.signer.name} (${signature.signer.role}, ${signature.signer.organisation}) signed it on ${signature.signedAt}`,
      );
    if (store) againstStore(store, opened, findings);
    else {
      findings.unproven(
        `who signed is not known: the report brings its own key, ${keyFingerprint(signature.publicKey)}. Verify it in the shop, or with --shop`,
      );
      findings.notChecked('whether the store still holds what was audited: verify it in the shop, or with --shop');
    }
    findings.notChecked(`what the report says: it is of ${report.finishedAt}; \`dwellmark audit\` looks again`);
  }
  return { ...findings.report(), report: opened?.report ?? null };
}

function againstStore(store: Store, { statement, signature, report }: SignedReport, findings: Findings): void {
  const { signer, publicKey } = signature;
  const enrolled = store.signers().find(({ id }) => id === signer.id);
  if (!enrolled) findings.problem('audit report', `nobody is enrolled as "${signer.id}"`);
  else if (enrolled.publicKey !== publicKey)
    findings.problem('audit report', `made with a key that is not enrolled for ${signer.name}`);
  else findings.checked(`the signer: enrolled in this ledger since line ${enrolled.position}`);
  const line = store.acts('audit reported').find(({ body }) => body.document === statement.document);
  if (!line) findings.problem('audit report', 'the ledger has no line of it');
  else {
    findings.checked(`the ledger: line ${line.position} says that this report was made`);
    if (enrolled?.revoked && line.position > enrolled.revoked.position)
      findings.problem('audit report', `signed after the key was revoked (ledger line ${enrolled.revoked.position})`);
  }
  try {
    checkLedger(store.raw, [report.ledger], findings);
  } catch (error) {
    if (!(error instanceof DwellmarkError)) throw error;
    findings.problem('ledger', error.message);
  }
}
