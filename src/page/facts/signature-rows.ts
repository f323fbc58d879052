import type { Figures, Words } from '../../certificate/index.js';
import { type Asking, base64Bytes, hexOf, sha256 } from '../../record/index.js';
import type { RecordRead } from '../read-record.js';
import type { SayPage } from '../words/page-words.js';

/** A signature as it is told. */
export interface SignatureRow {
  readonly meaning: string;
  readonly name: string;
  readonly standing: string;
  readonly when: string;
  /** First 16 digits of the key's SHA-256, as a certificate prints them, in fours. */
  readonly key: string;
  /** What the enclosed ledger lines say of the key. */
  readonly authority: string;
  readonly remark: string;
}

/** The signatures on the record, oldest first. The digests of the keys are asked for. */
export function* signatureRows(
  record: RecordRead,
  words: Words,
  figures: Figures,
  say: SayPage,
): Asking<readonly SignatureRow[]> {
  const rows: SignatureRow[] = [];
  for (const { signer, meaning, signedAt, publicKey, remark } of record.signatures) {
    const key = hexOf(yield* sha256(base64Bytes(publicKey) ?? new Uint8Array()));
    const enrolled = record.signers.find(({ id }) => id === signer.id);
    const revoked = enrolled?.revoked;
    rows.push({
      meaning: words.term(meaning),
      name: signer.name,
      standing: [words.term(signer.role), signer.organisation].filter((part) => part !== '').join(', '),
      when: figures.moment(signedAt),
      key: key.slice(0, 16).replace(/.{4}(?=.)/g, '$& '),
      authority: [
        ...(enrolled ? [say('signatures.enrolled', { position: enrolled.position })] : []),
        ...(revoked ? [say('signatures.revoked', { date: figures.date(revoked.at), reason: revoked.reason })] : []),
      ].join('; '),
      remark,
    });
  }
  return rows;
}
