import { findShop } from '../../bench/index.js';
import { correcting, correctTest } from '../../quality/index.js';
import { type Correctable, correctableName, openStore } from '../../record/index.js';
import { DwellmarkError, oneLine } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { say, sayJson } from '../output.js';
import { entitledPerson } from '../shop/signing-person.js';

export interface CorrectOptions extends CommonOptions, Partial<Record<Correctable, string>> {
  readonly reason: string;
  readonly signer?: string;
  readonly passphraseFd?: number;
}

/** `dwellmark correct`: a signed amendment to what a test says of its order. */
export async function run(test: string, options: CorrectOptions): Promise<void> {
  const wanted = wantedTexts(options);
  const reason = oneLine(options.reason, '--reason');
  if (reason === '') throw new DwellmarkError('usage', 'a correction needs a reason: --reason is empty');
  const shop = findShop(options.shop);
  const store = openStore(shop.database, { mode: 'write' });
  try {
    store.test(test);
    const by = await entitledPerson(store, shop, correcting, options);
    const { changes, ledger, toReissue } = correctTest(store, test, wanted, reason, by);
    if (options.json) return sayJson({ test, changes, ledger, toReissue });
    for (const { what, from, to } of changes) say(`${test}, ${correctableName[what]}: "${to}" in place of "${from}".`);
    say(`Signed by ${by.signer.name}. Ledger line ${ledger}.`);
    for (const number of toReissue)
      say(`${number} still says what was wrong: dwellmark certificate --reissue ${number} --reason "…"`);
  } finally {
    store.close();
  }
}

function wantedTexts(options: CorrectOptions): Partial<Record<Correctable, string>> {
  const given = (['customer', 'workOrder', 'address'] as const).flatMap((what) => {
    const text = options[what];
    if (text === undefined) return [];
    const name = what === 'workOrder' ? '--work-order' : `--${what}`;
    const line = oneLine(text, name);
    if (line === '') throw new DwellmarkError('usage', `${name} is empty`);
    return [[what, line] as const];
  });
  if (given.length > 0) return Object.fromEntries(given);
  throw new DwellmarkError('usage', 'what is to be corrected?', {
    advice: 'Give --customer, --work-order or --address.',
  });
}
