import type { EnrolledSigner, LedgerLine } from '../record/index.js';
import { keyFingerprint } from '../signing/index.js';

/** A line of the ledger for a person to read: who did what, when, with which key. */
export interface LedgerEntry {
  readonly position: number;
  readonly at: string;
  readonly act: string;
  readonly test: string | null;
  readonly about: string | null;
  readonly who: string | null;
  /** First digits of the SHA-256 of the key that signed it. */
  readonly key: string | null;
  readonly why: string | null;
}

/** What a ledger line says. Names of people whom only an id tells come from those enrolled. */
export function ledgerEntry(
  { position, at, kind, test, subject, body }: LedgerLine,
  signers: readonly EnrolledSigner[],
): LedgerEntry {
  const signature = (kind === 'signed' ? body : body.signature) as
    | { readonly signer?: { readonly id: string; readonly name: string }; readonly publicKey?: string }
    | undefined;
  const named =
    body.by ?? body.issuedBy ?? signers.find(({ id }) => kind === 'signer locked out' && id === subject)?.name;
  return {
    ...{ position, at, act: kind, test },
    about: subject === test ? null : subject,
    who: signature?.signer?.name ?? (typeof named === 'string' ? named : null),
    key: signature?.publicKey === undefined ? null : keyFingerprint(signature.publicKey),
    why: [
      ...changesIn(body.changes),
      ...[body.meaning, body.decision, body.reason ?? body.why ?? body.remark, body.verdict],
    ]
      .filter((text) => typeof text === 'string' && text !== '')
      .join('; '),
  };
}

/** As a line of text. */
export function entryText({ position, at, act, test, about, who, key, why }: LedgerEntry): string {
  const what = [act, test, about].filter(Boolean).join(' ');
  const person = who === null ? '' : `  ${who}${key === null ? '' : ` (key ${key})`}`;
  return `${String(position).padStart(6)}  ${at.slice(0, 19)}  ${what}${person}${why ? `: ${why}` : ''}`;
}

/** Texts that a correction put in place of others. */
const changesIn = (changes: unknown): string[] =>
  Array.isArray(changes) ? changes.map(({ from, to }) => `"${to}" in place of "${from}"`) : [];
