import { findShop, type Shop } from '../../bench/index.js';
import {
  isoWithOffset,
  openStore,
  type RecordSignature,
  type SignatureMeaning,
  type Store,
  type StoredTest,
} from '../../record/index.js';
import { maySign, readPassphrase, type SignerPublic, signRecord } from '../../signing/index.js';
import { DwellmarkError, spell } from '../../units/index.js';
import { choose, confirm } from '../ask.js';
import type { CommonOptions } from '../common-options.js';
import { systemOf } from '../customer-units.js';
import { remark, say, sayJson } from '../output.js';
import { resultLines, wrapped } from '../report/result-text.js';
import { chosenSigner, unlocked } from '../shop/signing-person.js';

export interface SignOptions extends CommonOptions {
  readonly signer?: string;
  readonly meaning?: SignatureMeaning;
  readonly remark: string;
  readonly passphraseFd?: number;
}

const meaningsOf: Readonly<Record<string, readonly SignatureMeaning[]>> = {
  technician: ['performed'],
  qa: ['reviewed and released', 'rejected'],
  witness: ['witnessed'],
};

/** `dwellmark sign`: shows what is signed, asks for its meaning, signs the sealed record. */
export async function run(test: string, options: SignOptions): Promise<void> {
  const shop = findShop(options.shop);
  const store = openStore(shop.database, { mode: 'write' });
  try {
    const stored = store.test(test);
    const signer = await chosenSigner(shop, options.signer);
    if (!options.json) showWhat(stored);
    const meaning = await chosenMeaning(signer, options.meaning);
    const passphrase = { prompt: `Passphrase of ${signer.name}: `, fd: options.passphraseFd };
    if (
      options.passphraseFd === undefined &&
      !(await confirm(`Sign ${test} as "${meaning}" by ${signer.name}?`, '--passphrase-fd N'))
    )
      throw new DwellmarkError('refused', 'not signed');
    const signature = signTest(store, shop, {
      stored,
      signer,
      meaning,
      remark: options.remark,
      passphrase: await readPassphrase(passphrase),
    });
    if (options.json) sayJson(signature);
    else
      say(
        `${test} is signed: ${meaning}, ${signer.name} (${signer.role}), ${signature.signedAt}.\nNext: dwellmark certificate ${test}`,
      );
  } finally {
    store.close();
  }
}

export interface Signing {
  readonly stored: StoredTest;
  readonly signer: SignerPublic;
  readonly meaning: SignatureMeaning;
  readonly remark: string;
  readonly passphrase: string;
}

/**
 * Signs one sealed record into the store.
 * @throws DwellmarkError (`refused`) when the person may not sign it, or the passphrase is wrong; a key that locks
 *   leaves a line in the ledger.
 */
export function signTest(
  store: Store,
  shop: Shop,
  { stored, signer, meaning, remark: words, passphrase }: Signing,
): RecordSignature {
  const { header, head, result, voided } = stored;
  const { test } = header;
  if (head === null || !result)
    throw new DwellmarkError('refused', `test ${test} is not sealed: there is nothing to sign`, {
      advice: 'Close it with `dwellmark test --resume`.',
    });
  if (voided) throw new DwellmarkError('refused', `test ${test} was voided: ${voided.reason}`);
  const enrolled = store.signers().find(({ id }) => id === signer.id);
  if (!enrolled || enrolled.publicKey !== signer.publicKey)
    throw new DwellmarkError('refused', `the key of "${signer.id}" is not the one enrolled in this record`);
  if (stored.signatures.some((signature) => signature.signer.id === signer.id && signature.meaning === meaning))
    throw new DwellmarkError('refused', `${signer.name} has signed ${test} as "${meaning}" already`);
  const question = {
    rules: shop.signatures,
    technician: header.technician,
    signer,
    meaning,
    verdict: result.verdict,
    revokedAt: enrolled.revoked?.at ?? null,
  };
  const against = maySign(question);
  if (against !== null) throw new DwellmarkError('refused', against);
  const signedAt = isoWithOffset(new Date());
  const signature = signRecord(unlocked(store, shop, signer.id, passphrase), {
    test,
    head,
    meaning,
    remark: words,
    signedAt,
  });
  store.addSignature(signature);
  return signature;
}

async function chosenMeaning(signer: SignerPublic, given: SignatureMeaning | undefined): Promise<SignatureMeaning> {
  const open = meaningsOf[signer.role] ?? [];
  const [only] = open;
  if (given !== undefined) return given;
  if (open.length === 1 && only) return only;
  if (open.length === 0) throw new DwellmarkError('refused', `${signer.name} is ${signer.role} and signs no tests`);
  return choose('What does the signature mean', open, '--meaning "reviewed and released" or --meaning rejected');
}

/** What is being signed, on stderr so that stdout stays the answer. */
function showWhat(stored: StoredTest): void {
  const { header, result } = stored;
  const system = systemOf(header);
  remark(`${header.test}: ${header.customer}, cylinder ${header.cylinder.serial}, work order ${header.workOrder}`);
  if (result) for (const line of resultLines(result, system)) remark(line);
  const deviations = (result?.ports ?? []).flatMap((port) => port.events).filter((event) => event.grade !== 'note');
  for (const event of deviations)
    for (const line of wrapped(`port ${event.port}, ${event.phase}: ${spell(event.text, system)}`, 0)) remark(line);
  for (const { grade, text, overruled } of header.findings)
    if (grade !== 'note')
      for (const line of wrapped(
        `${grade} before the test: ${spell(text, system)}${overruled ? ` (overruled by ${overruled.by}: ${overruled.why})` : ''}`,
        0,
      ))
        remark(line);
  remark(`record ${stored.head ?? 'not sealed'}`);
}
