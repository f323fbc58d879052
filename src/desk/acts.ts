import {
  certificateOf,
  correcting,
  correctTest,
  type Entitlement,
  provenPerson,
  recordDeciders,
  reissueOf,
  signTest,
  voidRecord,
} from '../quality/index.js';
import { correctable, correctableName, type SignatureMeaning, type Store } from '../record/index.js';
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
      const reason = needed(given.reason, 'a void');
      const by = proven(desk, store, given, { what: 'a void', roles: recordDeciders });
      const { certificatesVoided } = voidRecord(store, test, reason, by, given.papers !== undefined);
      return `${test} is void${certificatesVoided.map((number) => `, and ${number}`).join('')}.`;
    }),
  );

export const correctByForm = (desk: Desk, test: string, given: Given): Promise<Told> =>
  told(() =>
    writing(desk, (store) => {
      const reason = needed(given.reason, 'a correction');
      const wanted = Object.fromEntries(
        correctable.flatMap((what) => {
          const text = oneLine(given[what] ?? '', correctableName[what]);
          return text === '' ? [] : [[what, text] as const];
        }),
      );
      const { changes, toReissue } = correctTest(store, test, wanted, reason, proven(desk, store, given, correcting));
      const done = changes.map(({ what, to }) => `${correctableName[what]}: ${to}`).join('; ');
      return `Corrected: ${done}.${toReissue.map((number) => ` ${number} still says what was wrong: reissue it.`).join('')}`;
    }),
  );

export const reissueByForm = (desk: Desk, given: Given): Promise<Told> =>
  told(() =>
    writing(desk, async (store) => {
      const reason = needed(given.reason, 'a reissue');
      const by = proven(desk, store, given, { what: 'a reissue', roles: recordDeciders });
      const { number, file, replaces } = await reissueOf(store, desk.shop, given.number ?? '', reason, by);
      return `${number} is issued in place of ${replaces}, which is void: ${file}`;
    }),
  );

/** @throws DwellmarkError (`usage`) without one. */
function needed(reason: string | undefined, what: string): string {
  const line = oneLine(reason ?? '', 'the reason');
  if (line === '') throw new DwellmarkError('usage', `${what} needs its reason`);
  return line;
}

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
