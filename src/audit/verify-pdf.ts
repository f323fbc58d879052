import type { TestResult } from '../evaluation/index.js';
import { readingsOf, type TestHeader } from '../record/index.js';
import { type PdfSignatureReport, readPdfAttachments, verifyPdfSignature } from '../signing/index.js';
import { DwellmarkError } from '../units/index.js';
import type { Judge } from './checked-now.js';
import { traceCsv } from './export/text.js';
import { type CheckReport, Findings } from './findings.js';
import { bundleOfPaper, type PaperRecord } from './paper-attachments.js';
import { openBundle, verifyBundle } from './verify-bundle.js';

export interface PdfCheck extends CheckReport {
  readonly signature: PdfSignatureReport;
  /** The test in it, when its record can be read. */
  readonly test: string | null;
}

/**
 * Checks a certificate with nothing but the PDF: its signature over the whole file, the record attached to it (chain,
 * seal, signatures, verdict judged again), and the attached trace against that record.
 * @throws DwellmarkError (`input`) only for a trusted root that is no certificate.
 */
export async function verifyPdf(pdf: Buffer, judge: Judge | null, trustedRootPem?: string): Promise<PdfCheck> {
  const findings = new Findings();
  const signature = await verifyPdfSignature(pdf, trustedRootPem === undefined ? {} : { trustedRootPem });
  for (const problem of signature.problems) findings.problem('PDF signature', problem);
  if (signature.problems.length === 0) {
    findings.checked(
      `the PDF's signature: covers the whole file, made ${signature.signedAt ?? 'at no stated time'} in the name of ${signature.signer ?? 'nobody'}`,
    );
    if (signature.trusted === null)
      findings.notChecked("whether that certificate is the shop's: give its root with --root FILE");
  }
  const bundle = attachedRecord(pdf, judge, findings);
  const own = findings.report();
  return {
    signature,
    test: bundle?.test ?? null,
    checked: [...own.checked, ...(bundle?.checked ?? [])],
    notChecked: [...own.notChecked, ...(bundle?.notChecked ?? [])],
    problems: [...own.problems, ...(bundle?.problems ?? [])],
    counts: bundle?.counts ?? own.counts,
  };
}

function attachedRecord(pdf: Buffer, judge: Judge | null, findings: Findings): ReturnType<typeof verifyBundle> | null {
  try {
    const attachments = new Map(readPdfAttachments(pdf).map(({ name, bytes }) => [name, bytes.toString('utf8')]));
    const recordText = attachments.get('record.json');
    if (recordText === undefined) throw new DwellmarkError('altered', 'no record.json is attached');
    const record = JSON.parse(recordText) as PaperRecord;
    if (record.format !== 'dwellmark record 1')
      throw new DwellmarkError('altered', 'record.json is of an unknown format');
    const text = bundleOfPaper(record);
    const opened = openBundle(text);
    findings.same('record.json', 'the head', record.head, opened.head);
    const header = JSON.parse(opened.header) as TestHeader;
    const { result } = JSON.parse(opened.seal) as { result: TestResult };
    findings.same('record.json', 'the verdict', record.verdict, result.verdict);
    const csv = [...traceCsv({ header, head: opened.head, verdict: result.verdict }, readingsOf(opened.links))].join(
      '',
    );
    if (attachments.get('trace.csv') !== csv)
      findings.problem('trace.csv', 'the attached trace is not that of the attached record');
    else findings.checked('trace.csv: the readings of the record, one by one');
    return verifyBundle(text, judge);
  } catch (error) {
    if (error instanceof DwellmarkError || error instanceof SyntaxError || error instanceof TypeError) {
      findings.problem('attachments', error.message);
      return null;
    }
    throw error;
  }
}
