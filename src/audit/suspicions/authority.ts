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

/** A key so young, minutes, when it signs was perhaps made for that. */
const youngKeyMinutes = 30;

/**
 * One name on two keys in force, and keys enrolled minutes before they sign a test that was sealed before. An
 * administrator signs no tests: that key beside another of the same name is how a small shop works.
 */
export function keyDoubts(store: Store): Suspicion[] {
  const signers = store.signers();
  const signing = signers.filter(({ role, revoked }) => role !== 'administrator' && revoked === null);
  const folded = (text: string): string => text.normalize('NFKC').trim().replace(/\s+/g, ' ').toLowerCase();
  const twice = [...grouped(signing, ({ name }) => folded(name)).values()].filter((keys) => keys.length > 1);
  const sealed = new Map(store.acts('test sealed').map((line) => [line.test, line.position]));
  const young = store.acts('signed').flatMap(({ test, subject, at, position }) => {
    const signer = signers.find(({ id }) => id === subject);
    if (!signer || test === null || signer.position < (sealed.get(test) ?? 0)) return [];
    const minutes = (Date.parse(at) - Date.parse(signer.enrolledAt)) / 60_000;
    if (!(minutes >= 0 && minutes < youngKeyMinutes)) return [];
    return [
      {
        kind: 'enrolled to sign' as const,
        tests: [test],
        text: `${test}: the key of ${signer.name} was enrolled after the test was sealed, ${minutes.toFixed(0)} min before it signed`,
        evidence: { enrolled: signer.position, signed: position, signer: signer.id },
      },
    ];
  });
  return [
    ...twice.map((keys) => ({
      kind: 'one name on two keys' as const,
      tests: [],
      text: `${keys[0]?.name} has ${keys.length} keys in force: ${keys.map(({ id, role }) => `"${id}" (${role})`).join(', ')}`,
      evidence: Object.fromEntries(keys.map(({ id, position }) => [id, position])),
    })),
    ...young,
  ];
}
