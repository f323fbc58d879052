import { checkedTest, judgeStored } from '../../audit/index.js';
import { findShop } from '../../bench/index.js';
import type { Reading } from '../../gauge/index.js';
import { signTest, stands, systemOf } from '../../quality/index.js';
import {
  corrected,
  type EnrolledSigner,
  openStore,
  type Role,
  type SignatureMeaning,
  type StoredTest,
} from '../../record/index.js';
import { readPassphrase, roleFor } from '../../signing/index.js';
import { DwellmarkError, spell } from '../../units/index.js';
import { choose, confirm } from '../ask.js';
import type { CommonOptions } from '../common-options.js';
import { remark, say, sayJson, screenWidth } from '../output.js';
import { resultLines, wrapped } from '../report/result-text.js';
import { traceChart } from '../report/trace-chart.js';
import { chosenSigner } from '../shop/signing-person.js';

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

const signingRoles = Object.keys(meaningsOf) as Role[];

/** `dwellmark sign`: checks the record, shows what is signed, asks for its meaning, signs the sealed record. */
export async function run(test: string, options: SignOptions): Promise<void> {
  const shop = findShop(options.shop);
  const store = openStore(shop.database, { mode: 'write' });
  try {
    const stored = checkedTest(store, test, judgeStored);
    const roles = options.meaning === undefined ? signingRoles : [roleFor(options.meaning)];
    const signer = await chosenSigner(store, shop, options.signer, roles);
    if (!options.json) showWhat(stored, store.trace(test));
    const meaning = await chosenMeaning(signer, options.meaning);
    const passphrase = { prompt: `Passphrase of ${signer.name}: `, fd: options.passphraseFd };
    if (
      options.passphraseFd === undefined &&
      !(await confirm(`Sign ${test} as "${meaning}" by ${signer.name}?`, '--passphrase-fd N'))
    )
      throw new DwellmarkError('refused', 'not signed');
    const signature = signTest(store, shop, {
      test,
      head: stored.head,
      signer: signer.id,
      meaning,
      remark: options.remark,
      passphrase: await readPassphrase(passphrase),
    });
    if (options.json) sayJson(signature);
    else
      for (const line of [
        `${test} is signed: ${meaning}, ${signer.name} (${signer.role}), ${signature.signedAt}.`,
        ...nextSteps(stored, meaning),
      ])
        say(line);
  } finally {
    store.close();
  }
}

/** What to do next: after a rejection, void what was handed out. */
function nextSteps({ header: { test }, certificates }: StoredTest, meaning: SignatureMeaning): string[] {
  const open = certificates.filter(stands).map(({ number }) => number);
  if (meaning !== 'rejected') return open.length > 0 ? [] : [`Next: dwellmark certificate ${test}`];
  return open.map((number) => `${number} still stands on it: dwellmark void ${number} --reason "…"`);
}

async function chosenMeaning(signer: EnrolledSigner, given: SignatureMeaning | undefined): Promise<SignatureMeaning> {
  const open = meaningsOf[signer.role] ?? [];
  const [only] = open;
  if (given !== undefined) return given;
  if (open.length === 1 && only) return only;
  if (open.length === 0) throw new DwellmarkError('refused', `${signer.name} is ${signer.role} and signs no tests`);
  return choose('What does the signature mean', open, '--meaning "reviewed and released" or --meaning rejected');
}

/** What is being signed, on stderr so that stdout stays the answer. */
function showWhat(stored: StoredTest, trace: Iterable<Reading>): void {
  const { result } = stored;
  const header = corrected(stored.header, stored.corrections);
  const system = systemOf(header);
  remark(`${header.test}: ${header.customer}, cylinder ${header.cylinder.serial}, work order ${header.workOrder}`);
  if (result)
    for (const line of [
      ...traceChart(trace, result, system, Math.min(100, screenWidth(process.stderr))),
      ...resultLines(result, system),
    ])
      remark(line);
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
