import { findShop } from '../../bench/index.js';
import { certificateUnder, recordDeciders, voidRecord } from '../../quality/index.js';
import { openStore } from '../../record/index.js';
import { DwellmarkError, oneLine } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { say, sayJson } from '../output.js';
import { entitledPerson } from '../shop/signing-person.js';

export interface VoidOptions extends CommonOptions {
  readonly signer?: string;
  readonly passphraseFd?: number;
  readonly reason: string;
  readonly withCertificates?: boolean;
}

/** `dwellmark void`: strikes out a test or a certificate. The number, the reason and the links stay. */
export async function run(number: string, options: VoidOptions): Promise<void> {
  const reason = oneLine(options.reason, '--reason');
  if (reason === '') throw new DwellmarkError('usage', 'a void needs a reason: --reason is empty');
  const shop = findShop(options.shop);
  const store = openStore(shop.database, { mode: 'write' });
  try {
    const isTest = store.has(number);
    if (!isTest) certificateUnder(store, number);
    const by = await entitledPerson(store, shop, { what: 'a void', roles: recordDeciders }, options);
    const {
      mark,
      certificatesVoided: struck,
      certificatesStanding: left,
    } = voidRecord(store, number, reason, by, options.withCertificates === true);
    if (options.json)
      return sayJson({ number, ledger: mark.position, certificatesVoided: struck, certificatesStanding: left });
    say(`${number} is void: ${reason} (${by.signer.name}). Ledger line ${mark.position}.`);
    for (const certificate of struck) say(`Its certificate ${certificate} is void too.`);
    for (const certificate of left) say(`Its certificate ${certificate} still stands: dwellmark void ${certificate} …`);
    for (const certificate of isTest ? struck : [number])
      say(`To print it marked as void: dwellmark certificate --copy ${certificate}`);
  } finally {
    store.close();
  }
}
