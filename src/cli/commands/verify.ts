import { existsSync } from 'node:fs';
import {
  type About,
  bundleOfPaper,
  type CheckReport,
  checkStanding,
  Findings,
  isPaperRecord,
  isSignedReport,
  signedByKnown,
  verifyBundle,
  verifyOnAllCores,
  verifyPdf,
  verifyReport,
  verifyTest,
} from '../../audit/index.js';
import { findShop, findShopIfAny, judgeStored, softwareVersion } from '../../bench/index.js';
import { fileLimits, openStore, readGivenFile, readGivenText, type Store } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { exitCodes } from '../exit-codes.js';
import { say, sayJson } from '../output.js';
import { Progress, threadLost } from '../report/progress.js';
import { verifyLines } from '../report/verify-text.js';
import { anchorsOf } from '../shop/anchors.js';
import { asClaimed } from '../shop/read-file.js';

export interface VerifyCommandOptions extends CommonOptions {
  readonly all?: boolean;
  readonly anchor?: readonly string[];
  readonly root?: string;
  readonly key?: readonly string[];
}

/** A check, and what the thing is that was checked. */
type Checked = CheckReport & { readonly about?: About | null };

/** `dwellmark verify`: proves that nothing was altered, or says what was. */
export async function run(what: string | undefined, options: VerifyCommandOptions): Promise<void> {
  const report =
    what !== undefined && existsSync(what) ? await verifyFile(what, options) : await verifyRecord(what, options);
  tellReport(report, options.json);
}

/** What a check came to, and the exit code that follows. */
export function tellReport(report: Checked, json: boolean | undefined): void {
  if (json) sayJson(report);
  else for (const line of verifyLines(report, report.about ?? null)) say(line);
  process.exitCode = exitOf(report);
}

export function exitOf({ problems, unproven }: CheckReport): number {
  if (problems.length > 0) return exitCodes.altered;
  return unproven.length > 0 ? exitCodes.unproven : exitCodes.done;
}

async function verifyFile(file: string, options: VerifyCommandOptions): Promise<Checked> {
  const bytes = readGivenFile(file, { what: 'file', most: fileLimits.record });
  const text = bytes.toString('utf8');
  if (bytes.subarray(0, 5).toString('latin1') !== '%PDF-' && isSignedReport(text))
    return inShop(options.shop, (store) => verifyReport(text, store));
  const report = await asClaimed(file, () => verifyOutside(file, bytes, options));
  return inShop(options.shop, (store) => withStanding(report, store));
}

/** A paper, a record or a page, by what it holds. */
async function verifyOutside(file: string, bytes: Buffer, options: VerifyCommandOptions): Promise<Checked> {
  const root =
    options.root === undefined
      ? undefined
      : readGivenText(options.root, { what: 'root certificate', most: fileLimits.text, key: '--root' });
  const keys = options.key ?? [];
  if (bytes.subarray(0, 5).toString('latin1') === '%PDF-') return verifyPdf(bytes, judgeStored, root);
  const text = bytes.toString('utf8');
  if (/^\s*<!doctype html/i.test(text)) return signedByKnown(await verifyHtml(text), keys);
  if (isPaperRecord(text)) return signedByKnown(verifyBundle(bundleOfPaper(JSON.parse(text)), judgeStored), keys);
  if (text.startsWith('{"bundle":')) return signedByKnown(verifyBundle(text, judgeStored), keys);
  throw new DwellmarkError('input', 'this is no file that can be verified', {
    place: { file },
    advice: 'A certificate PDF, a record.json, a bundle, a page or an audit report can.',
  });
}

/** A test's page, by this program and not by its own. */
async function verifyHtml(text: string) {
  const { pageProgram, verifyPage } = await import('../../page/index.js');
  return verifyPage(text, judgeStored, await pageProgram(), softwareVersion);
}

/** With the shop's store beside it, where there is one. */
function inShop<Result>(shop: string | undefined, work: (store: Store | null) => Result): Result {
  const found = findShopIfAny(shop);
  if (!found || !existsSync(found.database)) return work(null);
  const store = openStore(found.database, { mode: 'read' });
  try {
    return work(store);
  } finally {
    store.close();
  }
}

/** What the shop's ledger here says of it since: it can speak against a file, and never for who signed it. */
function withStanding(report: Checked, store: Store | null): Checked {
  const { about } = report;
  if (!about) return report;
  const findings = new Findings();
  findings.add(report);
  const here = store?.has(about.test) ? store.test(about.test) : null;
  if (store && here?.head === about.head) checkStanding(store, about, findings);
  else if (here?.header.shop.name === about.shop)
    findings.unproven(`the shop's record here holds another ${about.test} than this file`);
  else
    findings.notChecked(
      `whether it was declared void since: the shop knows${about.number === null ? '' : ` (${about.number})`}`,
    );
  return { ...report, ...findings.report() };
}

async function verifyRecord(test: string | undefined, options: VerifyCommandOptions): Promise<Checked> {
  if (test !== undefined && /[./\\]/.test(test))
    throw new DwellmarkError('input', 'there is no such file', { place: { file: test }, advice: 'Check its path.' });
  const papers = await anchorsOf(options.anchor);
  const store = openStore(findShop(options.shop).database, { mode: 'read' });
  const progress = new Progress();
  const tell = (done: number, of: number, name: string) => progress.tell(`${done} of ${of}  ${name}`);
  try {
    if (test !== undefined && !options.all) return verifyTest(store, test, judgeStored, { papers });
    return await verifyOnAllCores(store, { papers, progress: tell, threadLost });
  } finally {
    progress.end();
    store.close();
  }
}
