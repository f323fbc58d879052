import { existsSync, readFileSync } from 'node:fs';
import {
  bundleOfPaper,
  type CheckReport,
  isPaperRecord,
  isSignedReport,
  verifyBundle,
  verifyOnAllCores,
  verifyPdf,
  verifyReport,
  verifyTest,
} from '../../audit/index.js';
import { findShop, findShopIfAny, judgeStored, softwareVersion } from '../../bench/index.js';
import { openStore } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { exitCodes } from '../exit-codes.js';
import { paint, remark, say, sayJson } from '../output.js';
import { Progress, threadLost } from '../report/progress.js';
import { wrapped } from '../report/result-text.js';
import { anchorsOf } from '../shop/anchors.js';

export interface VerifyCommandOptions extends CommonOptions {
  readonly all?: boolean;
  readonly anchor?: readonly string[];
  readonly root?: string;
}

/** `dwellmark verify`: proves that nothing was altered, or says what was. */
export async function run(what: string | undefined, options: VerifyCommandOptions): Promise<void> {
  const report =
    what !== undefined && existsSync(what) ? await verifyFile(what, options) : await verifyRecord(what, options);
  tellReport(report, options.json);
}

/** What a check came to, and the exit code that follows. */
export function tellReport(report: CheckReport, json: boolean | undefined): void {
  if (json) sayJson(report);
  else for (const line of reportLines(report)) say(line);
  process.exitCode = report.problems.length === 0 ? exitCodes.done : exitCodes.altered;
}

async function verifyFile(file: string, options: VerifyCommandOptions): Promise<CheckReport> {
  const bytes = readFileSync(file);
  const root = options.root === undefined ? undefined : readFileSync(options.root, 'utf8');
  if (bytes.subarray(0, 5).toString('latin1') === '%PDF-') return verifyPdf(bytes, judgeStored, root);
  const text = bytes.toString('utf8');
  if (isSignedReport(text)) return verifyAuditReport(text, options.shop);
  if (/^\s*<!doctype html/i.test(text)) return verifyHtml(text);
  if (isPaperRecord(text)) return verifyBundle(bundleOfPaper(JSON.parse(text)), judgeStored);
  if (text.startsWith('{"bundle":')) return verifyBundle(text, judgeStored);
  throw new DwellmarkError('input', 'this is no file that can be verified', {
    place: { file },
    advice: 'A certificate PDF, a record.json, a bundle, a page or an audit report can.',
  });
}

/** A test's page, by this program and not by its own. */
async function verifyHtml(text: string): Promise<CheckReport> {
  const { pageProgram, verifyPage } = await import('../../page/index.js');
  return verifyPage(text, judgeStored, await pageProgram(), softwareVersion);
}

/** An audit report, and the shop's store beside it where there is one. */
function verifyAuditReport(text: string, shop: string | undefined): CheckReport {
  const found = findShopIfAny(shop);
  if (!found) return verifyReport(text, null);
  const store = openStore(found.database, { mode: 'read' });
  try {
    return verifyReport(text, store);
  } finally {
    store.close();
  }
}

async function verifyRecord(test: string | undefined, options: VerifyCommandOptions): Promise<CheckReport> {
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

function reportLines(report: CheckReport): string[] {
  const lines = report.checked.flatMap((text) => wrapped(`checked: ${text}`, 0));
  lines.push(...report.notChecked.flatMap((text) => wrapped(`not checked: ${text}`, 0)));
  if (report.problems.length === 0) return [...lines, paint('Nothing checked was altered.', 'bold', 'green')];
  const shown = report.problems.slice(0, 50);
  lines.push(...shown.flatMap(({ where, what }) => wrapped(`ALTERED ${where}: ${what}`, 0)));
  if (report.problems.length > shown.length) lines.push(`and ${report.problems.length - shown.length} more`);
  remark(paint(`${report.problems.length} things do not agree.`, 'bold', 'red'));
  return lines;
}
