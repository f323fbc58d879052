import { findShop } from '../../bench/index.js';
import { openStore } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import { say, sayJson } from '../output.js';
import type { CommonOptions } from '../program.js';

export interface VoidOptions extends CommonOptions {
  readonly by: string;
  readonly reason: string;
}

/** `dwellmark void`: strikes out a test or a certificate. The number, the reason and the links stay. */
export function run(number: string, options: VoidOptions): void {
  const store = openStore(findShop(options.shop).database, { mode: 'write' });
  try {
    const why = { by: options.by, reason: options.reason };
    if (why.reason.trim() === '' || why.by.trim() === '')
      throw new DwellmarkError('usage', 'a void needs a reason and a name');
    const isTest = store.has(number);
    const mark = isTest ? store.voidTest(number, why) : store.voidCertificate(number, why);
    const standing = isTest
      ? store
          .test(number)
          .certificates.filter(({ voided }) => !voided)
          .map((certificate) => certificate.number)
      : [];
    if (options.json) return sayJson({ number, ledger: mark.position, certificatesStanding: standing });
    say(`${number} is void: ${why.reason} (${why.by}). Ledger line ${mark.position}.`);
    for (const certificate of standing)
      say(`Its certificate ${certificate} still stands: dwellmark void ${certificate} …`);
  } finally {
    store.close();
  }
}
