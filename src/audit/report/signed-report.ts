import { type StatementSignature, sha256Hex } from '../../record/index.js';
import { readStatementSignature } from '../../signing/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { AuditReport } from './audit-report.js';

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
