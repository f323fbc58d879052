import type { IssuedCertificate, Store } from '../../record/index.js';
import { grouped } from './gauge-habits.js';
import type { Credible, Suspicion } from './suspicion.js';

/** What does not look right about the certificates handed out. */
export function certificateDoubts(store: Store, { required = [] }: Credible): Suspicion[] {
  const certificates = store.certificates();
  const standing = certificates.filter(({ voided, replacedBy }) => voided === null && replacedBy === null);
  return [
    ...twiceIssued(certificates),
    ...withdrawnOnly(store, standing),
    ...onVoidTests(store, standing),
    ...notCorrected(store, standing),
    ...onRejectedTests(store, standing),
    ...certificates.flatMap((certificate) => unsigned(store, certificate, required)),
  ];
}

/** One and the same file handed out under several numbers. */
const twiceIssued = (certificates: readonly IssuedCertificate[]): Suspicion[] =>
  [...grouped(certificates, ({ pdfSha256 }) => pdfSha256).values()]
    .filter((group) => group.length > 1)
    .map((group) => ({
      kind: 'one file under two numbers',
      tests: [...new Set(group.map(({ test }) => test))],
      text: `one and the same file was issued as ${group.map(({ number }) => number).join(' and ')}`,
      evidence: { pdfSha256: group[0]?.pdfSha256 ?? '' },
    }));

/** Certificates withdrawn on paper only. */
function withdrawnOnly(store: Store, standing: readonly IssuedCertificate[]): Suspicion[] {
  const withdrawn = new Map(
    store
      .acts('recall disposition')
      .filter(({ body }) => body.decision === 'certificate withdrawn')
      .map((line) => [line.test, line]),
  );
  return standing
    .filter(({ test, position }) => position < (withdrawn.get(test)?.position ?? 0))
    .map(({ test, number }) => ({
      kind: 'withdrawn but not voided',
      tests: [test],
      text: `certificate ${number} is down as withdrawn in a recall and was never voided`,
      evidence: { number, position: withdrawn.get(test)?.position ?? 0 },
    }));
}

function onVoidTests(store: Store, standing: readonly IssuedCertificate[]): Suspicion[] {
  const voids = new Map(store.acts('test voided').map((line) => [line.test, line]));
  return standing.flatMap(({ test, number }) => {
    const line = voids.get(test);
    if (!line) return [];
    return {
      kind: 'certificate on a void test' as const,
      tests: [test],
      text: `${test} is void and its certificate ${number} still stands`,
      evidence: { number, position: line.position },
    };
  });
}

/** Certificates that still say what was corrected since. */
function notCorrected(store: Store, standing: readonly IssuedCertificate[]): Suspicion[] {
  const corrections = store.acts('test corrected');
  return standing.flatMap(({ test, number, position: issued }) => {
    const line = corrections.find((correction) => correction.test === test && correction.position > issued);
    if (!line) return [];
    return {
      kind: 'certificate not corrected' as const,
      tests: [test],
      text: `${test} was corrected after its certificate ${number} was issued, and that still stands`,
      evidence: { number, position: line.position },
    };
  });
}

/** A pass that QA rejected, with a certificate that stands; of another verdict a rejection is the usual end. */
function onRejectedTests(store: Store, standing: readonly IssuedCertificate[]): Suspicion[] {
  const rejections = new Map(
    store
      .acts('signed')
      .filter(({ body }) => body.meaning === 'rejected')
      .map((line) => [line.test, line]),
  );
  return standing.flatMap(({ test, number, position }) => {
    const line = rejections.get(test);
    if (!line || store.test(test).result?.verdict !== 'pass') return [];
    const when = line.position > position ? 'after' : 'before';
    return {
      kind: 'certificate on a rejected test' as const,
      tests: [test],
      text: `${test} was rejected ${when} its certificate ${number} was issued, and that still stands`,
      evidence: { number, position: line.position },
    };
  });
}

/** A certificate that went out before the signatures that the shop asks for were there. */
function unsigned(
  store: Store,
  { test, number, position }: IssuedCertificate,
  required: NonNullable<Credible['required']>,
): Suspicion[] {
  if (required.length === 0) return [];
  const given = new Set(
    store
      .acts('signed', { test })
      .filter((line) => line.position < position)
      .map(({ body }) => (body.meaning === 'rejected' ? 'reviewed and released' : body.meaning)),
  );
  const missing = required.filter((meaning) => !given.has(meaning));
  if (missing.length === 0) return [];
  return [
    {
      kind: 'certificate unsigned',
      tests: [test],
      text: `certificate ${number} of ${test} went out without the signature "${missing.join('", "')}"`,
      evidence: { number, position },
    },
  ];
}
