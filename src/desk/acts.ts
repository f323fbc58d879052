import {
  certificateOf,
  type Entitlement,
  provenPerson,
  recordDeciders,
  signTest,
  voidRecord,
} from '../quality/index.js';
import type { SignatureMeaning, Store } from '../record/index.js';
import type { UnlockedSigner } from '../signing/index.js';
import { DwellmarkError, oneLine } from '../units/index.js';
import type { Desk } from './desk.js';
import type { Told } from './frame.js';
import { writing } from './with-store.js';

/** The fields of a form. */
export type Given = Readonly<Record<string, string>>;

const meanings: readonly SignatureMeaning[] = ['reviewed and released', 'rejected', 'performed', 'witnessed'];

export const signByForm = (desk: Desk, test: string, given: Given): Promise<Told> =>
  told(async () => {
    const meaning = meanings.find((known) => known === given.meaning);
    if (!meaning) throw new DwellmarkError('usage', 'what does the signature mean?');
    return writing(desk, (store) => {
      const signature = signTest(store, desk.shop, {
        test,
        head: given.head ?? null,
        signer: given.signer ?? '',
        meaning,
        remark: oneLine(given.remark ?? '', 'the remark'),
        passphrase: given.passphrase ?? '',
      });
      return `Signed: ${meaning}, ${signature.signer.name}, ${signature.signedAt}.`;
    });
  });

export const issuePaper = (desk: Desk, test: string): Promise<Told> =>
  told(() =>
    writing(desk, async (store) => {
      const { number, file } = await certificateOf(store, desk.shop, test);
      return `${number} is issued: ${file}`;
    }),
  );

export const voidByForm = (desk: Desk, test: string, given: Given): Promise<Told> =>
  told(() =>
    writing(desk, (store) => {
      const reason = oneLine(given.reason ?? '', 'the reason');
      if (reason === '') throw new DwellmarkError('usage', 'a void needs its reason');
      const by = proven(desk, store, given, { what: 'a void', roles: recordDeciders });
      const { certificatesVoided } = voidRecord(store, test, reason, by, given.papers !== undefined);
      return `${test} is void${certificatesVoided.map((number) => `, and ${number}`).join('')}.`;
    }),
  );

/** The person of a form, proven by the passphrase in it. */
export const proven = (desk: Desk, store: Store, given: Given, entitlement: Entitlement): UnlockedSigner =>
  provenPerson(store, desk.shop, entitlement, given.signer ?? '', given.passphrase ?? '');

/** What came of an act, told on the page; a refusal is told and is no crash. */
export async function told(act: () => Promise<string>): Promise<Told> {
  try {
    return { good: true, text: await act() };
  } catch (cause) {
    if (!(cause instanceof DwellmarkError)) throw cause;
    return { good: false, text: cause.advice === undefined ? cause.message : `${cause.message}. ${cause.advice}` };
  }
}
