import { checkedTest, judgeStored } from '../../audit/index.js';
import type { Shop } from '../../bench/index.js';
import { notLookedAt } from '../../certificate/index.js';
import type { TestResult } from '../../evaluation/index.js';
import type { IssuedCertificate, Store, StoredTest } from '../../record/index.js';
import { missingSignatures } from '../../signing/index.js';
import { DwellmarkError } from '../../units/index.js';

/** A test that a paper can stand on. */
export interface SealedTest {
  readonly stored: StoredTest;
  readonly head: string;
  readonly result: TestResult;
}

/** @throws DwellmarkError (`altered`) when it is not as it was sealed, (`refused`) when it never was. */
export function sealedTest(store: Store, test: string): SealedTest {
  const stored = checkedTest(store, test, judgeStored);
  const { head, result } = stored;
  if (head === null || !result)
    throw new DwellmarkError('refused', `test ${test} is not sealed: no certificate can stand on it`, {
      advice: 'Close it with `dwellmark test --resume`.',
    });
  return { stored, head, result };
}

/**
 * A test that a certificate may be issued for now.
 * @param reissue number of the certificate that the new one takes the place of.
 * @throws DwellmarkError (`refused`) for a test that is void or rejected, lacks a signature that the shop file asks for, or has a
 *   certificate that stands.
 */
export function issuableTest(store: Store, shop: Shop, test: string, reissue: string | null = null): SealedTest {
  const sealed = sealedTest(store, test);
  const { stored } = sealed;
  if (stored.voided) throw new DwellmarkError('refused', `test ${test} was voided: ${stored.voided.reason}`);
  const rejected = stored.signatures.find(({ meaning }) => meaning === 'rejected');
  if (rejected && sealed.result.verdict === 'pass')
    throw new DwellmarkError(
      'refused',
      `${rejected.signer.name} rejected test ${test} on ${rejected.signedAt}: no certificate can stand on it`,
      { advice: 'Repeat the test.' },
    );
  demandSignatures(sealed, shop);
  const standing = stored.certificates.find((certificate) => certificate.number !== reissue && stands(certificate));
  if (standing)
    throw new DwellmarkError('refused', `test ${test} has the certificate ${standing.number} already`, {
      advice: `Print it again with --copy ${standing.number}, or replace it with --reissue ${standing.number} --reason "…".`,
    });
  return sealed;
}

/** A certificate for a pass with all that the shop file asks for; otherwise a test report, which says what is missing. */
export function kindFor({ stored, result }: SealedTest, shop: Shop): 'certificate' | 'test report' {
  const lacks = notLookedAt(stored.header, result).some(({ demand }) => shop.certificate.includes(demand));
  return result.verdict === 'pass' && !lacks ? 'certificate' : 'test report';
}

/** Neither voided nor replaced. */
export const stands = ({ voided, replacedBy }: IssuedCertificate): boolean => voided === null && replacedBy === null;

/** @throws DwellmarkError (`input`) when no certificate bears this number. */
export function certificateUnder(store: Store, number: string): IssuedCertificate {
  const found = store.certificates().find((certificate) => certificate.number === number);
  if (found) return found;
  throw new DwellmarkError('input', `there is no certificate ${number}`, {
    advice: '`dwellmark show TEST` names the certificates of a test.',
  });
}

/** Whoever the shop file asks for must have signed this very record. */
function demandSignatures({ stored, head, result }: SealedTest, shop: Shop): void {
  const { test } = stored.header;
  const given = stored.signatures.map(({ position: _position, ...signature }) => signature);
  const missing = missingSignatures(shop.signatures.required, {
    test,
    head,
    verdict: result.verdict,
    signatures: given,
  });
  if (missing.length === 0) return;
  throw new DwellmarkError('refused', `test ${test} still needs the signature "${missing.join('", "')}"`, {
    advice: `Run \`dwellmark sign ${test}\`, or print a draft with --draft.`,
  });
}
