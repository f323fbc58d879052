import { bundleLines, canonicalJson, type Store } from '../record/index.js';
import { DwellmarkError } from '../units/index.js';

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
