export type Role = 'technician' | 'qa' | 'administrator' | 'witness';

export type SignatureMeaning = 'performed' | 'reviewed and released' | 'rejected' | 'witnessed';

/** Who signed a statement that the ledger carries, when, and the Ed25519 signature, base64. */
export interface StatementSignature {
  readonly signer: { readonly id: string; readonly name: string; readonly role: Role; readonly organisation: string };
  /** ISO 8601 with offset. */
  readonly signedAt: string;
  readonly publicKey: string;
  readonly value: string;
}

/** Who decided something and why, with the signature under the statement that says so. */
export interface SignedReason {
  readonly by: string;
  readonly reason: string;
  /** Absent in stores whose ledger names no administrator. */
  readonly signature?: StatementSignature;
}

/** A person's signature on a sealed record, as it is stored and printed. */
export interface RecordSignature {
  readonly test: string;
  /** SHA-256 head of the test's chain, hex: what was signed. */
  readonly head: string;
  readonly signer: { readonly id: string; readonly name: string; readonly role: Role; readonly organisation: string };
  readonly meaning: SignatureMeaning;
  readonly remark: string;
  /** ISO 8601 with offset. */
  readonly signedAt: string;
  /** Ed25519 public key and signature, base64; the signed bytes are the RFC 8785 form of this object without `value`. */
  readonly publicKey: string;
  readonly value: string;
}
