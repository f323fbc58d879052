import { createHash } from 'node:crypto';
import { DwellmarkError } from '../units/index.js';
import { canonicalJson, type Link } from './chain/index.js';
import type { StatementSignature } from './signature.js';
import type { Store } from './store.js';

/** A line of the ledger on its own: with the head before it, its hash can be computed without the lines between. */
export interface LooseLedgerLine {
  readonly line: string;
  /** Heads before and after it, hex. */
  readonly before: string;
  readonly head: string;
}

/**
 * One test in a file of its own, line by line (JSON Lines): who made it, the header, every link of the chain, the
 * seal, then the ledger lines about the test and about its signers. Another installation checks it without the store.
 */
export type BundleLine =
  | {
      readonly bundle: 'dwellmark bundle 1';
      readonly test: string;
      readonly ledger: { position: number; head: string };
    }
  | { readonly header: string }
  | { readonly link: { readonly kind: number; readonly payload: string } }
  | { readonly seal: string; readonly head: string }
  | { readonly act: LooseLedgerLine }
  /** The last: SHA-256 of all bytes before it, hex. */
  | { readonly end: string };

/**
 * Writes a sealed test as a bundle. With `upTo`, only what the ledger held at that position: the same bytes again, years
 * later.
 * @throws DwellmarkError (`refused`) when the test is not sealed.
 */
export function* bundleLines(store: Store, test: string, upTo: number = store.ledgerHead().position): Iterable<string> {
  const stored = store.test(test);
  if (!stored.seal || !stored.head) throw new DwellmarkError('refused', `test ${test} is not sealed`);
  const signed = stored.signatures.filter(({ position }) => position <= upTo);
  const amended = stored.acts.filter(({ kind, position }) => kind === 'test corrected' && position <= upTo);
  const amenders = amended.map(({ body }) => (body.signature as StatementSignature | undefined)?.signer?.id ?? '');
  const people = new Set([...signed.map(({ signer }) => signer.id), ...amenders]);
  const acts = looseLines(store, test, people, upTo);
  const sum = createHash('sha256');
  const text = (line: BundleLine): string => {
    const written = `${canonicalJson(line)}\n`;
    sum.update(written);
    return written;
  };
  yield text({ bundle: 'dwellmark bundle 1', test, ledger: acts.mark });
  yield text({ header: canonicalJson(stored.header) });
  for (const link of store.links(test)) yield text({ link: asText(link) });
  yield text({ seal: canonicalJson(stored.seal), head: stored.head });
  for (const act of acts.lines) yield text({ act });
  yield `${canonicalJson({ end: sum.digest('hex') } satisfies BundleLine)}\n`;
}

const asText = ({ kind, payload }: Link): { kind: number; payload: string } => ({
  kind,
  payload: Buffer.from(payload).toString('base64'),
});

/** The ledger lines that a bundle carries, each with the head before it. */
function looseLines(
  store: Store,
  test: string,
  signers: ReadonlySet<string>,
  upTo: number,
): { lines: LooseLedgerLine[]; mark: { position: number; head: string } } {
  const { raw } = store;
  const lines = raw.ledgerAbout(test, [...signers], upTo).map(({ line, before, head }) => ({
    line,
    before: before?.toString('hex') ?? '0'.repeat(64),
    head: head.toString('hex'),
  }));
  return { lines, mark: raw.ledgerHeadAt(upTo) };
}
