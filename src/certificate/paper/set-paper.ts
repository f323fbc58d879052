import { type Correction, corrected, type TestHeader } from '../../record/index.js';
import { certificateContent } from '../content/certificate-content.js';
import type { CertificateContent } from '../content/content.js';
import type { CertificateInput } from '../input.js';
import { parseLayout } from '../pages/layout.js';
import { renderCertificate } from '../render-when-asked.js';
import { wordsFrom } from '../words/said.js';
import { shippedTexts } from '../words/words.js';
import { type PaperFile, paperText } from './paper-file.js';
import { isShippedProcedure } from './set-with.js';

/** What a paper says of its test: the record, as it stood at a line of the ledger. */
export type PaperRecordInput = Pick<
  CertificateInput,
  'result' | 'seal' | 'signatures' | 'trace' | 'recordJson' | 'traceCsv'
> & {
  /** As it was hashed. */
  readonly header: TestHeader;
  readonly corrections: readonly Correction[];
};

/** A paper before its signature. */
export interface SetPaper {
  readonly content: CertificateContent;
  readonly unsigned: Buffer;
}

/**
 * Sets the pages of a paper from the record and from what else is printed, and attaches both: the same two give the same
 * bytes, years later and elsewhere.
 * @throws DwellmarkError (`input`, `refused`, `altered`) for what can't be printed or is not a shop's to word.
 */
export async function setPaper(paper: PaperFile, record: PaperRecordInput): Promise<SetPaper> {
  const { format: _format, setWith: _setWith, words, layout, logo, ...printed } = paper;
  const input: CertificateInput = {
    ...printed,
    ...record,
    header: corrected(record.header, record.corrections),
    ...(logo === undefined ? {} : { logo: Buffer.from(logo, 'base64') }),
    procedureIsTemplate: isShippedProcedure(record.header.plan.procedure.id),
    paperJson: paperText(paper),
  };
  const content = certificateContent(input, wordsFrom(shippedTexts(), paper.language, words));
  const unsigned = await renderCertificate(content, {
    signatureField: paper.kind !== 'draft',
    ...(layout === undefined ? {} : { layout: parseLayout(layout) }),
  });
  return { content, unsigned };
}
