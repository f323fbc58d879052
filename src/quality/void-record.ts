import { checkedTest, judgeStored } from '../audit/index.js';
import type { LedgerMark, Store } from '../record/index.js';
import { certificateUnder, stands } from './paper/issuable.js';

/** What was struck out. */
export interface Voided {
  readonly mark: LedgerMark;
  readonly certificatesVoided: readonly string[];
  /** Certificates of a voided test that stand all the same. */
  readonly certificatesStanding: readonly string[];
}

/**
 * Strikes out a test or a certificate; the number, the reason and the links stay.
 * @param withCertificates also those that stand on a voided test.
 * @throws DwellmarkError (`refused`) the second time, (`input`) for a number that there is not.
 */
export function voidRecord(
  store: Store,
  number: string,
  why: { readonly by: string; readonly reason: string },
  withCertificates: boolean,
): Voided {
  const isTest = store.has(number);
  checkedTest(store, isTest ? number : certificateUnder(store, number).test, judgeStored);
  const mark = isTest ? store.voidTest(number, why) : store.voidCertificate(number, why);
  const open = isTest ? standing(store, number) : [];
  const struck = withCertificates ? open : [];
  for (const certificate of struck) store.voidCertificate(certificate, why);
  return {
    mark,
    certificatesVoided: struck,
    certificatesStanding: open.filter((certificate) => !struck.includes(certificate)),
  };
}

const standing = (store: Store, test: string): readonly string[] =>
  store
    .test(test)
    .certificates.filter(stands)
    .map(({ number }) => number);
