import type { LedgerLine, LedgerMark } from '../record/index.js';
import { readPdfAttachments } from '../signing/index.js';
import { DwellmarkError } from '../units/index.js';
import type { Problem } from './findings.js';
import { bundleOfPaper, isPaperRecord, type PaperRecord } from './paper-pages.js';
import { isSignedReport, openSignedReport, verifyReport } from './report/signed-report.js';
import { openBundle, verifyBundle } from './verify-bundle.js';
import { verifyPdf } from './verify-pdf.js';

/** What a paper or a file from outside says of a store: heads of its ledger, and of a sealed test. */
export interface OutsideAnchor {
  /** Where it comes from: a file's name, or `the command line`. */
  readonly from: string;
  readonly marks: readonly LedgerMark[];
  readonly sealed: SealedElsewhere | null;
  /** What is wrong with the file itself: then it proves little. */
  readonly problems: readonly Problem[];
}

/** A sealed test as a paper from outside has it. */
export interface SealedElsewhere {
  readonly test: string;
  /** Head of its seal, hex. */
  readonly head: string;
  /** Number of the paper; null for a record that is none. */
  readonly number: string | null;
}

/**
 * Reads the ledger positions and heads out of a certificate (PDF), the record.json of one, a bundle or a signed audit
 * report, and checks that file itself.
 * @throws DwellmarkError (`input`) for a file that is none of these.
 */
export async function outsideAnchor(bytes: Buffer, from: string): Promise<OutsideAnchor> {
  const named = ({ where, what }: Problem): Problem => ({ where: `${from}, ${where}`, what });
  if (bytes.subarray(0, 5).toString('latin1') === '%PDF-') {
    const attached = readPdfAttachments(bytes).find(({ name }) => name === 'record.json');
    if (!attached) throw noAnchor(from, 'no record.json is attached to this PDF');
    const { problems, about } = await verifyPdf(bytes, null);
    const record = ofRecord(attached.bytes.toString('utf8'), from);
    const sealed = record.sealed && { ...record.sealed, number: about?.number ?? null };
    return { from, ...record, sealed, problems: problems.map(named) };
  }
  const text = bytes.toString('utf8');
  if (isSignedReport(text)) {
    const { problems } = verifyReport(text, null);
    return { from, marks: [openSignedReport(text).report.ledger], sealed: null, problems: problems.map(named) };
  }
  const bundle = isPaperRecord(text) ? bundleOfPaper(paperOf(text, from)) : text;
  if (!bundle.startsWith('{"bundle":'))
    throw noAnchor(from, 'this is no certificate, record.json, bundle or audit report');
  const { problems } = verifyBundle(bundle, null);
  return { from, ...ofBundle(bundle), problems: problems.map(named) };
}

const ofRecord = (text: string, from: string) => ofBundle(bundleOfPaper(paperOf(text, from)));

function paperOf(text: string, from: string): PaperRecord {
  try {
    return JSON.parse(text) as PaperRecord;
  } catch (cause) {
    throw new DwellmarkError('input', 'its record.json is no JSON', { place: { file: from }, cause });
  }
}

/** The end of the ledger when the bundle was made, and every line that it carries. */
function ofBundle(text: string): Pick<OutsideAnchor, 'marks' | 'sealed'> {
  const { test, head, acts, ledger } = openBundle(text);
  const lines = acts.map(({ line, head: after }): LedgerMark => {
    const { position } = JSON.parse(line) as LedgerLine;
    return { position, head: after };
  });
  const marks = new Map([...lines, ledger].map((mark) => [mark.position, mark]));
  return { marks: [...marks.values()].sort((a, b) => a.position - b.position), sealed: { test, head, number: null } };
}

const noAnchor = (file: string, what: string): DwellmarkError =>
  new DwellmarkError('input', what, {
    place: { file },
    advice: 'An anchor is POSITION:HEAD as printed on a certificate, or such a file.',
  });
