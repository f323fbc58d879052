import { findShop } from '../../bench/index.js';
import { voidRecord } from '../../quality/index.js';
import { openStore } from '../../record/index.js';
import { DwellmarkError, oneLine } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { say, sayJson } from '../output.js';

export interface VoidOptions extends CommonOptions {
  readonly by: string;
  readonly reason: string;
  readonly withCertificates?: boolean;
}

/** `dwellmark void`: strikes out a test or a certificate. The number, the reason and the links stay. */
export function run(number: string, options: VoidOptions): void {
  const why = { by: printable('--by', options.by), reason: printable('--reason', options.reason) };
  const store = openStore(findShop(options.shop).database, { mode: 'write' });
  try {
    const isTest = store.has(number);
    const {
      mark,
      certificatesVoided: struck,
      certificatesStanding: left,
    } = voidRecord(store, number, why, options.withCertificates === true);
    if (options.json)
      return sayJson({ number, ledger: mark.position, certificatesVoided: struck, certificatesStanding: left });
    say(`${number} is void: ${why.reason} (${why.by}). Ledger line ${mark.position}.`);
    for (const certificate of struck) say(`Its certificate ${certificate} is void too.`);
    for (const certificate of left) say(`Its certificate ${certificate} still stands: dwellmark void ${certificate} …`);
    for (const certificate of isTest ? struck : [number])
      say(`To print it marked as void: dwellmark certificate --copy ${certificate}`);
  } finally {
    store.close();
  }
}

/** Both are printed on the paper that says it is void. */
function printable(option: string, text: string): string {
  const trimmed = oneLine(text, option);
  if (trimmed === '') throw new DwellmarkError('usage', `a void needs a reason and a name: ${option} is empty`);
  return trimmed;
}
