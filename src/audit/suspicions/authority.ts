import type { Store, StoredTest } from '../../record/index.js';
import { grouped } from './gauge-habits.js';
import type { Suspicion } from './suspicion.js';

/** A signature dated so far from its ledger line was not made when it says. */
const datedSlackMs = 3600_000;

/** Signatures of one test that their signer had no right to, or that are dated otherwise than the ledger has them. */
export function signatureDoubts(store: Store, test: string, stored: StoredTest): Suspicion[] {
  if (stored.signatures.length === 0) return [];
  const people = new Map(store.signers().map((signer) => [signer.id, signer]));
  return stored.signatures.flatMap(({ signer, meaning, signedAt, position }) => {
    const tell = (kind: Suspicion['kind'], what: string): Suspicion => ({
      kind,
      tests: [test],
      text: `${test}: ${signer.name} signed "${meaning}" ${what}`,
      evidence: { position, signer: signer.id, signedAt },
    });
    const found: Suspicion[] = [];
    const enrolled = people.get(signer.id);
    if (!enrolled) found.push(tell('outside authority', 'without ever having been enrolled'));
    else if (position < enrolled.position) found.push(tell('outside authority', 'before being enrolled'));
    if (enrolled?.revoked && position > enrolled.revoked.position)
      found.push(tell('outside authority', `after the key was revoked on ${enrolled.revoked.at}`));
    if (signer.role === 'technician' && (meaning === 'reviewed and released' || meaning === 'rejected'))
      found.push(tell('outside authority', 'in the role of a technician'));
    if (meaning === 'reviewed and released' && signer.name === stored.header.technician)
      found.push(tell('outside authority', 'on a test that the same person ran'));
    const at = stored.acts.find((line) => line.position === position)?.at;
    if (at && Math.abs(Date.parse(signedAt) - Date.parse(at)) > datedSlackMs)
      found.push(tell('dated otherwise', `as of ${signedAt}; the ledger has it at ${at}`));
    return found;
  });
}

/** One and the same file handed out under several numbers, and certificates withdrawn on paper only. */
export function certificateDoubts(store: Store): Suspicion[] {
  const certificates = store.certificates();
  const twice = [...grouped(certificates, ({ pdfSha256 }) => pdfSha256).values()]
    .filter((group) => group.length > 1)
    .map((group) => ({
      kind: 'one file under two numbers' as const,
      tests: [...new Set(group.map(({ test }) => test))],
      text: `one and the same file was issued as ${group.map(({ number }) => number).join(' and ')}`,
      evidence: { pdfSha256: group[0]?.pdfSha256 ?? '' },
    }));
  const withdrawn = new Map(
    store
      .acts('recall disposition')
      .filter(({ body }) => body.decision === 'certificate withdrawn')
      .map((line) => [line.test, line]),
  );
  const standing = certificates
    .filter(({ test, voided, replacedBy }) => withdrawn.has(test) && voided === null && replacedBy === null)
    .map(({ test, number }) => ({
      kind: 'withdrawn but not voided' as const,
      tests: [test],
      text: `certificate ${number} is down as withdrawn in a recall and was never voided`,
      evidence: { number, position: withdrawn.get(test)?.position ?? 0 },
    }));
  return [...twice, ...standing];
}
