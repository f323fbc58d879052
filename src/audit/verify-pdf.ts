import type { PaperFile } from '../certificate/index.js';
import type { TestResult } from '../evaluation/index.js';
import { corrected, correctionsIn, type LedgerLine, readingsOf, type TestHeader } from '../record/index.js';
import {
  certificateFingerprint,
  type PdfSignatureReport,
  readPdfAttachments,
  verifyPdfSignature,
} from '../signing/index.js';
import { DwellmarkError } from '../units/index.js';
import type { About } from './about.js';
import type { Judge } from './checked-test.js';
import { traceCsv } from './export/text.js';
import { type CheckReport, Findings } from './findings.js';
import { type Attached, bundleOfPaper, comparePages, type PaperRecord, paperFileOf } from './paper-pages.js';
import { type BundleReport, type OpenedBundle, openBundle, verifyBundle } from './verify-bundle.js';

export interface PdfCheck extends CheckReport {
  readonly signature: PdfSignatureReport;
  /** The test in it, when its record can be read. */
  readonly test: string | null;
  /** What it is, from the record; null when that can't be read. */
  readonly about: About | null;
  /** SHA-256 of the root that came with it, in fours; whose that is, only the shop can say. */
  readonly rootFingerprint: string | null;
}

/**
 * Checks a certificate with nothing but the PDF: its signature over the whole file, the record attached to it (chain,
 * seal, signatures, verdict judged again), the attached trace against that record, and its pages, set again from it.
 * @param trustedRootPem the shop's root; without one nobody knows who signed, and that is said.
 * @throws DwellmarkError (`input`) only for a trusted root that is no certificate.
 */
export async function verifyPdf(pdf: Buffer, judge: Judge | null, trustedRootPem?: string): Promise<PdfCheck> {
  const findings = new Findings();
  const signature = await verifyPdfSignature(pdf, trustedRootPem === undefined ? {} : { trustedRootPem });
  const rootFingerprint = signature.rootPem === null ? null : certificateFingerprint(signature.rootPem);
  checkWho(signature, rootFingerprint, findings);
  const opened = opening(pdf, findings);
  const bundle = opened && reading(opened, judge, findings);
  // A file that was changed after it was signed is told so already; setting its pages again would add nothing.
  if (opened && bundle && signature.digestOk)
    await comparePages(pdf, opened.paper, opened.attached, opened.bundle, findings);
  if (bundle) findings.add(bundle);
  const about = bundle?.about ?? null;
  const kind = opened?.paper?.kind;
  if (kind === 'void') findings.unproven('this copy says itself that it is void');
  if (kind === 'draft') findings.unproven('this is a draft');
  return {
    signature,
    rootFingerprint,
    test: bundle?.test ?? null,
    about: about && opened ? aboutPaper(about, opened.paper) : about,
    ...findings.report(),
  };
}

function checkWho(signature: PdfSignatureReport, rootFingerprint: string | null, findings: Findings): void {
  for (const problem of signature.problems) findings.problem('PDF signature', problem);
  if (signature.problems.length > 0) return;
  findings.checked(
    `the PDF's signature: covers the whole file, made ${signature.signedAt ?? 'at no stated time'} in the name of ${signature.signer ?? 'nobody'}`,
  );
  if (signature.trusted === true) findings.checked(`who signed: the root given, ${rootFingerprint}`);
  else
    findings.unproven(
      `who signed is not known: anybody can make a root under the name "${signature.signer ?? ''}". Ask the shop for its root and give it with --root; this one has the fingerprint ${rootFingerprint}`,
    );
}

interface OpenedPaper {
  readonly attached: Attached;
  readonly paper: PaperFile | null;
  readonly bundle: OpenedBundle;
  /** The bundle as text. */
  readonly text: string;
}

/** A broken file is a problem, not an error. */
function attempted<Result>(findings: Findings, part: () => Result): Result | null {
  try {
    return part();
  } catch (error) {
    if (!(error instanceof DwellmarkError || error instanceof SyntaxError || error instanceof TypeError)) throw error;
    findings.problem('attachments', error.message);
    return null;
  }
}

const opening = (pdf: Buffer, findings: Findings): OpenedPaper | null =>
  attempted(findings, () => {
    const attached = new Map(readPdfAttachments(pdf).map(({ name, bytes }) => [name, bytes.toString('utf8')]));
    const recordText = attached.get('record.json');
    if (recordText === undefined) throw new DwellmarkError('altered', 'no record.json is attached');
    const record = JSON.parse(recordText) as PaperRecord;
    if (record.format !== 'dwellmark record 1')
      throw new DwellmarkError('altered', 'record.json is of an unknown format');
    const text = bundleOfPaper(record);
    const bundle = openBundle(text);
    findings.same('record.json', 'the head', record.head, bundle.head);
    const { result } = JSON.parse(bundle.seal) as { result: TestResult };
    findings.same('record.json', 'the verdict', record.verdict, result.verdict);
    return { attached, paper: paperFileOf(attached), bundle, text };
  });

const reading = (
  { attached, bundle, text }: OpenedPaper,
  judge: Judge | null,
  findings: Findings,
): BundleReport | null =>
  attempted(findings, () => {
    const acts = bundle.acts.map(({ line }) => JSON.parse(line) as LedgerLine);
    const header = corrected(JSON.parse(bundle.header) as TestHeader, correctionsIn(acts, bundle.test));
    const { result } = JSON.parse(bundle.seal) as { result: TestResult };
    const about = { header, head: bundle.head, verdict: result.verdict };
    const csv = [...traceCsv(about, readingsOf(bundle.links))].join('');
    if (attached.get('trace.csv') !== csv)
      findings.problem('trace.csv', 'the attached trace is not that of the attached record');
    else findings.checked('trace.csv: the readings of the record, one by one');
    return verifyBundle(text, judge);
  });

function aboutPaper(about: About, paper: PaperFile | null): About {
  if (paper === null) return { ...about, what: about.verdict === 'pass' ? 'certificate' : 'test report' };
  const { kind, number, issuedAt } = paper;
  const usual = kind === 'test report' || about.verdict !== 'pass' ? 'test report' : 'certificate';
  return { ...about, number, issuedAt, what: kind === 'void' ? 'void paper' : kind === 'draft' ? 'draft' : usual };
}
