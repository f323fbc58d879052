import { type PaperFile, paperFileName, readPaperFile, setPaper, setWith } from '../certificate/index.js';
import {
  bundleLines,
  canonicalJson,
  correctionsIn,
  type LedgerLine,
  readingsOf,
  type Store,
  type TestHeader,
  type TestSeal,
} from '../record/index.js';
import { sameDocument, withoutSignature } from '../signing/index.js';
import { DwellmarkError } from '../units/index.js';
import type { Findings } from './findings.js';
import { asSignature, type OpenedBundle } from './verify-bundle.js';

/** The files attached to a paper, by name, as text. */
export type Attached = ReadonlyMap<string, string>;

/** How a paper says that it was set; null for one of a program that did not attach it yet. */
export const paperFileOf = (attached: Attached): PaperFile | null => {
  const text = attached.get(paperFileName);
  return text === undefined ? null : readPaperFile(text);
};

/**
 * Sets the pages of a paper again, from the record attached to it and in this program's words, and compares them with the
 * PDF. What can't be compared is not proven, and said.
 */
export async function comparePages(
  pdf: Buffer,
  paper: PaperFile | null,
  attached: Attached,
  bundle: OpenedBundle,
  findings: Findings,
): Promise<void> {
  if (paper === null) {
    findings.unproven(
      'the pages were NOT compared with the record: this paper does not say how it was set. Compare what is printed with the lines above',
    );
    return;
  }
  const again = await setAgain(paper, attached, bundle).catch((error: unknown) => {
    if (error instanceof Error) return error;
    throw error;
  });
  if (Buffer.isBuffer(again) && sameDocument(again, withoutSignature(pdf))) {
    findings.checked('every page: set again from the record, and the same');
    return;
  }
  const here = setWith();
  if (paper.setWith !== here && !(again instanceof DwellmarkError && again.code === 'altered'))
    findings.unproven(
      `the pages were NOT compared with the record: they were set with ${paper.setWith}, and this is ${here}. Compare what is printed with the lines above`,
    );
  else
    findings.problem(
      'pages',
      again instanceof Error
        ? `the record can't be set as this paper says: ${again.message}`
        : 'they show something else than the record says',
    );
}

async function setAgain(paper: PaperFile, attached: Attached, bundle: OpenedBundle): Promise<Buffer> {
  const { result } = JSON.parse(bundle.seal) as TestSeal;
  const acts = bundle.acts.map(({ line }) => JSON.parse(line) as LedgerLine);
  const { unsigned } = await setPaper(paper, {
    header: JSON.parse(bundle.header) as TestHeader,
    result,
    seal: { head: bundle.head, ledgerPosition: bundle.ledger.position, ledgerHead: bundle.ledger.head },
    signatures: acts.filter(({ kind, test }) => kind === 'signed' && test === bundle.test).map(asSignature),
    corrections: correctionsIn(acts, bundle.test),
    trace: readingsOf(bundle.links),
    recordJson: attached.get('record.json') ?? '',
    traceCsv: attached.get('trace.csv') ?? '',
  });
  return unsigned;
}

/** `record.json` of a certificate: the test's whole record, so that the PDF alone can be checked. */
export interface PaperRecord {
  readonly format: 'dwellmark record 1';
  readonly test: string;
  /** Head of the sealed record, hex: printed on the paper. */
  readonly head: string;
  readonly verdict: string;
  /** The lines of the bundle: header, chain, seal, signatures; RFC 8785 of each is its line. */
  readonly bundle: readonly unknown[];
}

/**
 * The record as it is attached to a certificate; with `upTo`, as the ledger was at that position, so that the same
 * certificate can be rendered again byte for byte.
 * @throws DwellmarkError (`refused`) when the test is not sealed.
 */
export function paperRecord(store: Store, test: string, upTo?: number): string {
  const { head, result } = store.test(test);
  const about: Omit<PaperRecord, 'bundle'> = {
    format: 'dwellmark record 1',
    test,
    head: head ?? '',
    verdict: result?.verdict ?? '',
  };
  const lead = JSON.stringify(about).slice(0, -1);
  const bundle = [...bundleLines(store, test, upTo)].map((line) => line.trimEnd());
  return `${lead},\n"bundle":[\n${bundle.join(',\n')}\n]}\n`;
}

/** Whether a text begins as a `record.json` does. */
export const isPaperRecord = (text: string): boolean => text.startsWith('{"format":"dwellmark record 1"');

/** The bundle's text back out of a `record.json`. */
export function bundleOfPaper(record: PaperRecord): string {
  if (!Array.isArray(record.bundle) || record.bundle.some((line) => typeof line !== 'object' || line === null))
    throw new DwellmarkError('altered', 'record.json holds no bundle of a test');
  return record.bundle.map((line) => `${canonicalJson(line)}\n`).join('');
}
