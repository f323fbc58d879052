import { csvRow, hasAuthority } from '../../audit/index.js';
import { findShop } from '../../bench/index.js';
import { type EnrolledSigner, type LedgerLine, openStore } from '../../record/index.js';
import { keyFingerprint } from '../../signing/index.js';
import type { CommonOptions } from '../common-options.js';
import { remark, say, sayJson } from '../output.js';

export interface LedgerOptions extends CommonOptions {
  readonly kind?: string;
  readonly person?: string;
  readonly about?: string;
  readonly since?: string;
  readonly until?: string;
  readonly csv?: boolean;
}

/** A line of the ledger for a person to read: who did what, when, with which key. */
interface Entry {
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

/** `dwellmark ledger`: who did what, when, with which key. */
export function run(options: LedgerOptions): void {
  const store = openStore(findShop(options.shop).database, { mode: 'read' });
  try {
    const signers = store.signers();
    const entries: Entry[] = [];
    for (const line of store.ledger()) if (isWanted(line, options)) entries.push(entryOf(line, signers));
    const found = entries.filter(({ who }) => options.person === undefined || isLike(who, options.person));
    if (options.json) return sayJson(found);
    if (options.csv) return tellCsv(found);
    for (const entry of found) say(entryText(entry));
    if (!hasAuthority(signers)) remark('This record names no administrator: who was entitled is not proven by a key.');
  } finally {
    store.close();
  }
}

const isLike = (text: string | null, part: string): boolean =>
  (text ?? '').toLowerCase().includes(part.trim().toLowerCase());

function isWanted(
  { kind, at, test, subject }: LedgerLine,
  { kind: only, about, since, until }: LedgerOptions,
): boolean {
  const day = at.slice(0, Math.max(10, until?.length ?? 0));
  return (
    (only === undefined || isLike(kind, only)) &&
    (about === undefined || test === about || subject === about) &&
    (since === undefined || at >= since) &&
    (until === undefined || day <= until)
  );
}

function entryOf({ position, at, kind, test, subject, body }: LedgerLine, signers: readonly EnrolledSigner[]): Entry {
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
    why: [body.meaning, body.decision, body.reason ?? body.why ?? body.remark, body.verdict]
      .filter((text) => typeof text === 'string' && text !== '')
      .join('; '),
  };
}

function entryText({ position, at, act, test, about, who, key, why }: Entry): string {
  const what = [act, test, about].filter(Boolean).join(' ');
  const person = who === null ? '' : `  ${who}${key === null ? '' : ` (key ${key})`}`;
  return `${String(position).padStart(6)}  ${at.slice(0, 19)}  ${what}${person}${why ? `: ${why}` : ''}`;
}

function tellCsv(entries: readonly Entry[]): void {
  const keys = ['position', 'at', 'act', 'test', 'about', 'who', 'key', 'why'] as const;
  process.stdout.write([[...keys], ...entries.map((entry) => keys.map((key) => entry[key]))].map(csvRow).join(''));
}
