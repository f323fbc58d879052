import type { Verdict } from '../evaluation/index.js';
import {
  type Asking,
  base64Bytes,
  corrected,
  correctionsIn,
  hexOf,
  type LedgerLine,
  type RecordSignature,
  type StatementSignature,
  sha256,
  type TestHeader,
  type TestSeal,
} from '../record/index.js';
import { correctionTexts } from './check-authority.js';

/** What a file is, from the record in it and from nothing that is printed: the first thing a check says. */
export interface About {
  readonly what: 'certificate' | 'test report' | 'draft' | 'void paper' | 'record';
  /** Number of the paper and when it was issued; null for a record. */
  readonly number: string | null;
  readonly issuedAt: string | null;
  readonly shop: string;
  readonly test: string;
  /** Head of the seal, hex. */
  readonly head: string;
  readonly testedAt: string;
  readonly technician: string;
  readonly cylinder: string;
  readonly customer: string;
  readonly workOrder: string;
  readonly gauge: string;
  readonly origin: TestHeader['origin'];
  readonly verdict: Verdict;
  readonly ports: readonly { readonly port: string; readonly verdict: Verdict }[];
  readonly signatures: readonly SignedBy[];
  /** Who signed the corrections. */
  readonly correctors: readonly Pick<SignedBy, 'name' | 'key'>[];
  /** Ledger lines in the file that strike it out: what, when, by whom, why. */
  readonly voids: readonly string[];
  /** What was corrected since the test: customer, work order and address above are as corrected. */
  readonly corrections: readonly string[];
}

export interface SignedBy {
  readonly name: string;
  readonly role: string;
  readonly meaning: string;
  readonly signedAt: string;
  /** First 16 hex digits of the SHA-256 of the public key, as it is printed. */
  readonly key: string;
}

/** What a record says that it is. The digests of the signers' keys are asked for. */
export function* aboutRecord(
  tested: TestHeader,
  { result }: TestSeal,
  head: string,
  acts: readonly LedgerLine[],
  signatures: readonly RecordSignature[],
): Asking<About> {
  const signedBy: SignedBy[] = [];
  for (const { signer, meaning, signedAt, publicKey } of signatures)
    signedBy.push({ name: signer.name, role: signer.role, meaning, signedAt, key: yield* shortKey(publicKey) });
  const correctors: Pick<SignedBy, 'name' | 'key'>[] = [];
  for (const { body } of acts.filter(({ kind, test }) => kind === 'test corrected' && test === tested.test)) {
    const signature = body.signature as StatementSignature | undefined;
    const key = signature?.publicKey === undefined ? 'no key' : yield* shortKey(signature.publicKey);
    correctors.push({ name: String(body.by), key });
  }
  const corrections = correctionsIn(acts, tested.test);
  const header = corrected(tested, corrections);
  const { cylinder } = header;
  return {
    what: 'record',
    number: null,
    issuedAt: null,
    shop: header.shop.name,
    test: header.test,
    head,
    testedAt: header.startedAt,
    technician: header.technician,
    cylinder: [cylinder.serial, [cylinder.maker, cylinder.model].filter(Boolean).join(' ')].filter(Boolean).join(', '),
    customer: header.customer,
    workOrder: header.workOrder,
    gauge: header.plan.gauge.serial,
    origin: header.origin,
    verdict: result.verdict,
    ports: result.ports.map(({ port, verdict }) => ({ port, verdict })),
    signatures: signedBy,
    correctors,
    voids: voidsIn(acts),
    corrections: corrections.flatMap(correctionTexts),
  };
}

function* shortKey(publicKey: string): Asking<string> {
  return hexOf(yield* sha256(base64Bytes(publicKey) ?? new Uint8Array())).slice(0, 16);
}

/** What the ledger lines at hand strike out. */
const voidsIn = (acts: readonly LedgerLine[]): string[] =>
  acts
    .filter(({ kind }) => kind === 'test voided' || kind === 'certificate voided')
    .map(({ kind, subject, test, at, body }) => {
      const what = kind === 'test voided' ? `test ${test}` : `certificate ${subject}`;
      return `${what} was declared void on ${at} by ${body.by}: ${body.reason}`;
    });
