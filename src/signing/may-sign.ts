import type { Verdict } from '../evaluation/index.js';
import type { RecordSignature, Role, SignatureMeaning } from '../record/index.js';
import { verifyRecordSignature } from './sign-record.js';
import type { SignerPublic } from './signer-form.js';

/** What the shop file says about signing. */
export interface SignatureRules {
  /** Whoever ran the test may also review it; a shop of one person needs it, and the certificate shows it. */
  readonly selfReview: boolean;
  /** 'reviewed and released' only beside the verdict pass; else a fail report may be released as what it is. */
  readonly releaseOnlyPass: boolean;
}

export interface SigningQuestion {
  readonly rules: SignatureRules;
  /**
   * Who ran the test: id or printed name. The printed name is the better one, because it also finds a person who
   * is enrolled twice, once in each role.
   */
  readonly technician: string;
  readonly signer: Pick<SignerPublic, 'id' | 'name' | 'role'>;
  readonly meaning: SignatureMeaning;
  readonly verdict: Verdict;
  /** When the signer's key was revoked (ISO 8601), or null. Earlier signatures stand; new ones are refused. */
  readonly revokedAt: string | null;
  /** Who rejected it before, or null. A rejection is not taken back: the test is repeated. */
  readonly rejectedBy: string | null;
}

const roleOfMeaning: Readonly<Record<SignatureMeaning, Role>> = {
  performed: 'technician',
  'reviewed and released': 'qa',
  rejected: 'qa',
  witnessed: 'witness',
};

/** The role that a meaning is signed in. An administrator enrols people and signs nothing. */
export function roleFor(meaning: SignatureMeaning): Role {
  return roleOfMeaning[meaning];
}

/**
 * Why this person can't sign this test with this meaning, as a sentence for the person, or null when nothing speaks
 * against it.
 *
 * @example
 * maySign({ rules: { selfReview: false, releaseOnlyPass: false }, technician: 'ada', signer: { id: 'ada',
 *   name: 'Ada Ortmann', role: 'qa' }, meaning: 'reviewed and released', verdict: 'pass', revokedAt: null, rejectedBy: null });
 * // "Ada Ortmann ran this test and can't review it; someone else with the role qa must"
 */
export function maySign(question: SigningQuestion): string | null {
  const { rules, signer, meaning, verdict, revokedAt } = question;
  if (revokedAt !== null) return `the key of ${signer.name} was revoked on ${revokedAt}`;
  const wanted = roleFor(meaning);
  if (signer.role !== wanted) {
    return `'${meaning}' is signed by the role ${wanted}; ${signer.name} is ${signer.role}`;
  }
  const ranIt = isSamePerson(question.technician, signer);
  if (meaning === 'performed') {
    return ranIt ? null : `only ${question.technician} ran this test and can sign it as performed`;
  }
  if (ranIt && meaning === 'witnessed') return `${signer.name} ran this test and can't be its witness`;
  if (ranIt && !rules.selfReview) {
    return `${signer.name} ran this test and can't review it; someone else with the role ${wanted} must`;
  }
  if (meaning === 'reviewed and released' && question.rejectedBy !== null) {
    return `${question.rejectedBy} rejected this test; it can't be released any more, repeat it`;
  }
  if (meaning === 'reviewed and released' && verdict !== 'pass' && rules.releaseOnlyPass) {
    return `the verdict is ${verdict}; the shop's rules release only a pass, so this can be signed as rejected`;
  }
  return null;
}

function isSamePerson(technician: string, signer: Pick<SignerPublic, 'id' | 'name'>): boolean {
  const spelled = (text: string): string => text.normalize('NFKC').trim().replace(/\s+/g, ' ').toLowerCase();
  return [signer.id, signer.name].some((own) => spelled(own) === spelled(technician));
}

/**
 * Which of the signatures that the shop file asks for are still missing on a sealed record, in its order. Only a
 * signature that verifies and signs this head counts. A test that did not pass may be rejected where a pass would
 * have been reviewed and released.
 *
 * @example
 * missingSignatures(['performed', 'reviewed and released'], { test, head, verdict: 'pass', signatures: [performed] });
 * // ['reviewed and released']
 */
export function missingSignatures(
  required: readonly SignatureMeaning[],
  record: {
    readonly test: string;
    readonly head: string;
    readonly verdict: Verdict;
    readonly signatures: readonly RecordSignature[];
  },
): SignatureMeaning[] {
  const { test, head } = record;
  const good = record.signatures.filter((signature) => verifyRecordSignature(signature, { test, head }).ok);
  const given = new Set(good.map(({ meaning }) => meaning));
  if (record.verdict !== 'pass' && given.has('rejected')) given.add('reviewed and released');
  return required.filter((meaning) => !given.has(meaning));
}
