import type { LedgerLine, Role, SignerRecord } from '../record/index.js';
import type { StatementKind } from '../signing/index.js';

/** Acts of the ledger that a person must have signed, and who may. */
export const acts = {
  'signer enrolled': { kind: 'enrolment', roles: ['administrator'] },
  'signer revoked': { kind: 'revocation', roles: ['administrator'] },
  'test voided': { kind: 'void', roles: ['qa', 'administrator'] },
  'certificate voided': { kind: 'void', roles: ['qa', 'administrator'] },
  'certificate issued': { kind: 'reissue', roles: ['qa', 'administrator'] },
  'test corrected': { kind: 'correction', roles: ['qa', 'administrator'] },
  'shop certificate renewed': { kind: 'renewal', roles: ['administrator'] },
} as const satisfies Partial<Record<LedgerLine['kind'], { kind: StatementKind; roles: readonly Role[] }>>;

export type Act = keyof typeof acts;

/** Whether a line is an act of authority: of certificates only a reissue is. */
export const isAct = ({ kind, body }: LedgerLine): boolean =>
  Object.hasOwn(acts, kind) && (kind !== 'certificate issued' || body.replaces !== undefined);

/** What of a ledger line is signed: its body, with what it is about. */
export function statementOf({ test, subject, body }: Pick<LedgerLine, 'test' | 'subject' | 'body'>): unknown {
  const { signature: _, ...said } = body;
  return { test, subject, ...said };
}

/** Why a person may not do an act, by the role alone, or null. */
export function mayAct(act: Act, { name, role }: Pick<SignerRecord, 'name' | 'role'>): string | null {
  const { roles } = acts[act];
  if ((roles as readonly Role[]).includes(role)) return null;
  return `is signed by ${name}, who is ${role}: it is for ${roles.join(' or ')}`;
}
