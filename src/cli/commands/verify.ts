import { existsSync, readFileSync } from 'node:fs';
import { type CheckReport, verifyBundle, verifyPdf, verifyStore, verifyTest } from '../../audit/index.js';
import { findShop, judgeStored } from '../../bench/index.js';
import { type LedgerMark, openStore } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { exitCodes } from '../exit-codes.js';
import { paint, remark, say, sayJson } from '../output.js';
import { wrapped } from '../report/result-text.js';

export interface VerifyCommandOptions extends CommonOptions {
  readonly all?: boolean;
  readonly anchor?: string;
  readonly root?: string;
}

/** `dwellmark verify`: proves that nothing was altered, or says what was. */
export async function run(what: string | undefined, options: VerifyCommandOptions): Promise<void> {
  const report =
    what !== undefined && existsSync(what) ? await verifyFile(what, options.root) : verifyRecord(what, options);
  if (options.json) sayJson(report);
  else for (const line of reportLines(report)) say(line);
  process.exitCode = report.problems.length === 0 ? exitCodes.done : exitCodes.altered;
}

async function verifyFile(file: string, rootFile: string | undefined): Promise<CheckReport> {
  const bytes = readFileSync(file);
  const root = rootFile === undefined ? undefined : readFileSync(rootFile, 'utf8');
  if (bytes.subarray(0, 5).toString('latin1') === '%PDF-') return verifyPdf(bytes, judgeStored, root);
  return verifyBundle(bytes.toString('utf8'), judgeStored);
}

function verifyRecord(test: string | undefined, options: VerifyCommandOptions): CheckReport {
  const anchors = options.anchor === undefined ? [] : [anchorOf(options.anchor)];
  const store = openStore(findShop(options.shop).database, { mode: 'read' });
  const progress = (done: number, of: number, name: string) => {
    if (process.stderr.isTTY) process.stderr.write(`\r\u001b[K${done} of ${of}  ${name}`);
  };
  try {
    if (test !== undefined && !options.all) return verifyTest(store, test, judgeStored, { anchors });
    return verifyStore(store, judgeStored, { anchors, progress });
  } finally {
    if (process.stderr.isTTY) process.stderr.write('\r\u001b[K');
    store.close();
  }
}

/** Reads `41:9f2c…`, as it is printed on a certificate. */
function anchorOf(text: string): LedgerMark {
  const match = /^(\d+):([0-9a-f]{64})$/i.exec(text.replace(/\s/g, ''));
  if (!match?.[1] || !match[2])
    throw new DwellmarkError('usage', `"${text}" is not a ledger position and head`, {
      place: { key: '--anchor' },
      advice: 'Write POSITION:HEAD as printed on the certificate, the head with its 64 digits.',
    });
  return { position: Number(match[1]), head: match[2].toLowerCase() };
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
