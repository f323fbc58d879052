import { checkedTest, judgeStored } from '../audit/index.js';
import type { LedgerMark, Store } from '../record/index.js';
import type { UnlockedSigner } from '../signing/index.js';
import { signedAct } from './authority.js';
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
 * @param by an entitled person, who signs each.
 * @param withCertificates also those that stand on a voided test.
 * @throws DwellmarkError (`refused`) the second time, (`input`) for a number that there is not.
 */
export function voidRecord(
  store: Store,
  number: string,
  reason: string,
  by: UnlockedSigner,
  withCertificates: boolean,
): Voided {
  const isTest = store.has(number);
  const test = isTest ? number : certificateUnder(store, number).test;
  checkedTest(store, test, judgeStored);
  const why = { by: by.signer.name, reason };
  const strikeCertificate = (certificate: string, of: string): LedgerMark => {
    const signature = signedAct(by, 'void', { test: of, subject: certificate }, { number: certificate, ...why });
    return store.voidCertificate(certificate, { ...why, signature });
  };
  return store.together(() => {
    if (!isTest) return { mark: strikeCertificate(number, test), certificatesVoided: [], certificatesStanding: [] };
    const signature = signedAct(by, 'void', { test, subject: test }, why);
    const mark = store.voidTest(test, { ...why, signature });
    const open = standing(store, test);
    const struck = withCertificates ? open : [];
    for (const certificate of struck) strikeCertificate(certificate, test);
    return {
      mark,
      certificatesVoided: struck,
      certificatesStanding: open.filter((certificate) => !struck.includes(certificate)),
    };
  });
}

const standing = (store: Store, test: string): readonly string[] =>
  store
    .test(test)
    .certificates.filter(stands)
    .map(({ number }) => number);
