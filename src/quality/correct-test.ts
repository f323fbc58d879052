import { checkedTest, judgeStored } from '../audit/index.js';
import { type Change, type Correctable, correctable, corrected, type Store, textOf } from '../record/index.js';
import type { UnlockedSigner } from '../signing/index.js';
import { DwellmarkError } from '../units/index.js';
import { signedAct } from './authority.js';
import { stands } from './paper/issuable.js';
import { type Entitlement, recordDeciders } from './proven-person.js';

/** Who corrects customer, work order and address of a test. */
export const correcting: Entitlement = { what: 'a correction', roles: recordDeciders };

/** What came of a correction. */
export interface Corrected {
  readonly changes: readonly Change[];
  /** Ledger line of the amendment. */
  readonly ledger: number;
  /** Papers that stand and still say what was wrong. */
  readonly toReissue: readonly string[];
}

/**
 * Puts texts about a test's order right by a signed amendment. The record stays as it was sealed; papers set from now
 * on say what was corrected.
 * @throws DwellmarkError (`usage`) when nothing would change, (`refused`) for a test that is void or not sealed.
 */
export function correctTest(
  store: Store,
  test: string,
  wanted: Partial<Record<Correctable, string>>,
  reason: string,
  by: UnlockedSigner,
): Corrected {
  checkedTest(store, test, judgeStored);
  return store.together(() => {
    const { header, head, voided, corrections, certificates } = store.test(test);
    if (voided) throw new DwellmarkError('refused', `test ${test} was voided: ${voided.reason}`);
    if (head === null)
      throw new DwellmarkError('refused', `test ${test} is not sealed`, {
        advice: 'Close it with `dwellmark test --resume` first.',
      });
    const now = corrected(header, corrections);
    const changes = correctable.flatMap((what): Change[] => {
      const to = wanted[what];
      const from = textOf(now, what);
      return to === undefined || to === from ? [] : [{ what, from, to }];
    });
    if (changes.length === 0)
      throw new DwellmarkError('usage', `nothing to correct: test ${test} says so already`, {
        advice: 'Give another customer, work order or address.',
      });
    const why = { by: by.signer.name, reason };
    const signature = signedAct(by, 'correction', { test, subject: test }, { changes, ...why });
    const mark = store.correctTest(test, changes, { ...why, signature });
    return { changes, ledger: mark.position, toReissue: certificates.filter(stands).map(({ number }) => number) };
  });
}
