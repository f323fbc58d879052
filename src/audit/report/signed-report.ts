import { type StatementSignature, type Store, sha256Hex } from '../../record/index.js';
import { keyFingerprint, readStatementSignature, statementFault } from '../../signing/index.js';
import { DwellmarkError } from '../../units/index.js';
import { checkLedger } from '../check-chain.js';
import { type CheckReport, Findings } from '../findings.js';
import type { AuditReport } from './report-text.js';

/** First line of a signed report: what it is, for a person and for verify. */
export const signedReportTitle = 'dwellmark audit report 1';

const dataLine = '-- the report as data --';
const signatureLine = '-- signature --';

/** What is signed of a report: the SHA-256 of every byte before the line `-- signature --`, hex. */
export interface ReportStatement {
  readonly document: string;
}

/** A signed report taken apart. */
export interface SignedReport {
  readonly report: AuditReport;
  readonly statement: ReportStatement;
  readonly signature: StatementSignature;
}

/** The part of the file that is signed: for a person first, then the same as data. */
export const reportDocument = (report: AuditReport, text: readonly string[]): string =>
  [signedReportTitle, '', ...text, '', dataLine, JSON.stringify(report, null, 1), ''].join('\n');

export const reportStatement = (document: string): ReportStatement => ({
  document: sha256Hex(Buffer.from(document, 'utf8')),
});

/** The whole file. */
export const signedReportText = (document: string, signature: StatementSignature): string =>
  `${document}${signatureLine}\n${JSON.stringify(signature, null, 1)}\n`;

export const isSignedReport = (text: string): boolean => text.startsWith(`${signedReportTitle}\n`);

/** Takes a signed report apart. @throws DwellmarkError (`altered`) when a part of it is missing. */
export function openSignedReport(text: string): SignedReport {
  const cut = text.lastIndexOf(`\n${signatureLine}\n`);
  const document = text.slice(0, cut + 1);
  const data = document.lastIndexOf(`\n${dataLine}\n`);
  if (cut < 0 || data < 0)
    throw new DwellmarkError('altered', 'this audit report is not whole: its data or its signature is missing');
  const report = parsed(document.slice(data + dataLine.length + 2)) as AuditReport;
  if (report.format !== 'dwellmark audit report 1')
    throw new DwellmarkError('altered', 'the data of this audit report are of an unknown format');
  return {
    report,
    statement: reportStatement(document),
    signature: readStatementSignature(parsed(text.slice(cut + signatureLine.length + 2))),
  };
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch (cause) {
    throw new DwellmarkError('altered', 'a part of this audit report is no JSON', { cause });
  }
}

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
