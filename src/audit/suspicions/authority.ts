import type { Store, StoredTest } from '../../record/index.js';
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
