import { mkdirSync, statSync } from 'node:fs';
import path from 'node:path';
import { findShop, type Shop } from '../../bench/index.js';
import {
  type Copied,
  copyOf,
  demandFreePlace,
  draft,
  type Issued,
  issuableTest,
  issue,
  type PaperOptions,
  Press,
  recordDeciders,
  renewCertificate,
  renewing,
  replaceable,
  sealedTest,
  settleWaiting,
  waitingFile,
} from '../../quality/index.js';
import { openStore, type Store } from '../../record/index.js';
import { certificateFingerprint, exportRootPem } from '../../signing/index.js';
import { DwellmarkError, oneLine } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { remark, say, sayJson } from '../output.js';
import { entitledPerson } from '../shop/signing-person.js';

export interface CertificateOptions extends CommonOptions, PaperOptions {
  readonly draft?: boolean;
  readonly workOrder?: string;
  readonly reissue?: string;
  readonly reason?: string;
  readonly signer?: string;
  readonly passphraseFd?: number;
  readonly copy?: string;
  readonly root?: string;
  readonly renew?: boolean;
}

/** `dwellmark certificate`: renders, signs and enters certificates; a test that did not pass gets a test report. */
export async function run(tests: readonly string[], options: CertificateOptions): Promise<void> {
  refuseMixedWishes(tests, options);
  const shop = findShop(options.shop);
  if (options.root !== undefined) return handOutRoot(shop, options.root, options);
  if (options.renew) return renewed(shop, options);
  const press = new Press(shop);
  const writes = !options.draft && options.copy === undefined;
  const store = openStore(shop.database, { mode: writes ? 'write' : 'read' });
  try {
    if (options.copy !== undefined) return tellCopy(await copyOf(store, press, options.copy, options), options);
    const settled = writes ? settleWaiting(store, folderFor(tests, options)) : [];
    for (const file of settled) remark(`${file}: of a run that was cut off; it has its place now.`);
    if (options.reissue !== undefined) return tell([await reissued(store, press, options.reissue, options)], options);
    const chosen = options.workOrder === undefined ? [...new Set(tests)] : ofWorkOrder(store, options.workOrder);
    for (const test of chosen) options.draft ? sealedTest(store, test) : issuableTest(store, shop, test);
    const several = chosen.length > 1 || options.workOrder !== undefined;
    const wishes = several ? { ...options, folder: true } : { ...options, folder: isFolder(options.output) };
    if (several && options.output !== undefined) mkdirSync(options.output, { recursive: true });
    const papers: Issued[] = [];
    for (const test of chosen) papers.push(await (options.draft ? draft : issue)(store, press, test, wishes));
    tell(papers, options, several);
  } finally {
    store.close();
  }
}

/** The root that every signature of the shop's papers leads to, with its fingerprint for the telephone. */
function handOutRoot(shop: Shop, output: string, { json }: CertificateOptions): void {
  const file = path.resolve(output);
  demandFreePlace(file);
  const root = exportRootPem(shop.keys);
  waitingFile(file, Buffer.from(root)).place();
  const sha256 = certificateFingerprint(root);
  if (json) return sayJson({ file, sha256: sha256.replaceAll(' ', '') });
  say(`${file}: the shop's root certificate. Read its fingerprint to the customer over the telephone:\n${sha256}`);
}

/** A new certificate to sign papers with, under the same root: papers handed out and customers' trust stay as they are. */
async function renewed(shop: Shop, options: CertificateOptions): Promise<void> {
  const store = openStore(shop.database, { mode: 'write' });
  try {
    let passphrase = '';
    const typed = (words: string): void => {
      passphrase = words;
    };
    const by = await entitledPerson(store, shop, renewing, options, typed);
    const { sha256, until } = await renewCertificate(store, shop, by, passphrase);
    if (options.json) return sayJson({ sha256: sha256.replaceAll(' ', ''), until });
    say(`Papers are signed with a new certificate from now on, valid until ${until}:\n${sha256}`);
    say('The root is the same: papers handed out, and the root that customers have, stay as they are.');
  } finally {
    store.close();
  }
}

async function reissued(store: Store, press: Press, number: string, options: CertificateOptions): Promise<Issued> {
  const old = replaceable(store, number);
  const reason = oneLine(options.reason ?? '', '--reason');
  const by = await entitledPerson(store, press.shop, { what: 'a reissue', roles: recordDeciders }, options);
  return issue(store, press, old.test, options, { number, reason, by });
}

/** The tests of a work order that wait for their certificate, in the order they were made. */
function ofWorkOrder(store: Store, workOrder: string): readonly string[] {
  const lines = store.tests({ workOrder, order: 'oldest first' });
  const waiting = lines.filter(
    ({ voided, head, certificates }) => !voided && head !== null && certificates.length === 0,
  );
  if (waiting.length > 0) return waiting.map(({ test }) => test);
  throw new DwellmarkError(
    'refused',
    lines.length === 0
      ? `no test has the work order "${workOrder}"`
      : `no test of the work order "${workOrder}" waits for a certificate`,
    { advice: `\`dwellmark list --work-order "${workOrder}"\` shows what there is.` },
  );
}

/** What can't be asked for together, and what is missing: said before anything is opened. */
function refuseMixedWishes(tests: readonly string[], options: CertificateOptions): void {
  const { reissue, copy, workOrder, root, renew } = options;
  const wishes = [tests.length > 0, ...[reissue, copy, workOrder, root, renew].map((wish) => wish !== undefined)];
  const asked = wishes.filter(Boolean).length;
  if (asked === 0)
    throw new DwellmarkError('usage', 'of which test?', {
      advice: 'Name one or more tests, or give --work-order, --reissue or --copy.',
    });
  if (asked > 1)
    throw new DwellmarkError(
      'usage',
      'tests, --work-order, --reissue, --copy, --root and --renew exclude each other: give one of them',
    );
  if (options.draft && (reissue !== undefined || copy !== undefined))
    throw new DwellmarkError('usage', 'a draft is of a test: it has no number to reissue or copy');
  if (reissue !== undefined && (options.reason ?? '').trim() === '')
    throw new DwellmarkError('usage', 'a reissue needs a reason', {
      advice: 'Give it with --reason "…"; it is printed.',
    });
  if (reissue === undefined && options.reason !== undefined)
    throw new DwellmarkError('usage', '--reason belongs to --reissue');
  if (reissue === undefined && renew === undefined && (options.signer ?? options.passphraseFd) !== undefined)
    throw new DwellmarkError('usage', '--signer and --passphrase-fd belong to --reissue and --renew');
  const { units, beside, language, declare } = options;
  if (copy !== undefined && (units ?? beside ?? language ?? declare) !== undefined)
    throw new DwellmarkError(
      'usage',
      'a copy is set as it was issued: it takes no --units, --beside, --language, --declare',
    );
}

/** The folder that papers go into. */
function folderFor(tests: readonly string[], { output, workOrder }: CertificateOptions): string {
  const names = output === undefined || workOrder !== undefined || tests.length > 1 || isFolder(output);
  return names ? path.resolve(output ?? '') : path.dirname(path.resolve(output));
}

const isFolder = (output: string | undefined): boolean =>
  output !== undefined &&
  (output.endsWith(path.sep) || (statSync(output, { throwIfNoEntry: false })?.isDirectory() ?? false));

function tell(papers: readonly Issued[], options: CertificateOptions, several = false): void {
  if (options.json) return sayJson(several ? papers : papers[0]);
  for (const { file, number, sha256, label, replaces, kind } of papers) {
    if (options.draft) say(`${file}: a draft, marked as such on every page.`);
    else if (several) say(`${number}  ${kind}  ${file}  sha256 ${sha256}`);
    else say(`${file}: ${kind} ${number}\nsha256 ${sha256}\nCheck it with: dwellmark verify ${file}`);
    if (replaces !== undefined) say(`${replaces} is void: replaced by ${number}.`);
    if (label !== undefined) say(`${label}: the label`);
  }
}

function tellCopy(copy: Copied, { json }: CertificateOptions): void {
  if (json) return sayJson(copy);
  const { file, number, kind, asIssued, unsignedSha256 } = copy;
  say(kind === 'void' ? `${file}: ${number}, marked as void on every page` : `${file}: ${number}, as it was issued`);
  say(
    asIssued === null
      ? 'Whether it comes out as it was issued is not known: no sum was kept.'
      : `Before its signature it ${asIssued ? 'comes' : 'does not come'} out as issued: sha256 ${unsignedSha256}`,
  );
  say(`This file, signed anew: sha256 ${copy.sha256}`);
  if (copy.label !== undefined) say(`${copy.label}: the label`);
}
