import {
  type AuditReport,
  auditOnAllCores,
  auditText,
  otherProcedure,
  outcomeText,
  reportDocument,
  reportStatement,
  signedReportText,
} from '../../audit/index.js';
import { findShop, type Shop, softwareVersion } from '../../bench/index.js';
import { demandFreePlace, waitingFile } from '../../quality/index.js';
import { isoWithOffset, openStore, type Role } from '../../record/index.js';
import { signStatement, type UnlockedSigner } from '../../signing/index.js';
import { unitSystems } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { exitCodes } from '../exit-codes.js';
import { paint, remark, say, sayJson } from '../output.js';
import { Progress, threadLost } from '../report/progress.js';
import { anchorsOf } from '../shop/anchors.js';
import { readProcedureFile } from '../shop/read-file.js';
import { entitledPerson } from '../shop/signing-person.js';

export interface AuditOptions extends CommonOptions {
  readonly procedure?: string;
  readonly anchor?: readonly string[];
  readonly testsAShift: number;
  readonly output?: string;
  readonly signer?: string;
  readonly passphraseFd?: number;
}

/** Whoever signs an audit must not be one of those who run the tests. */
const auditors: readonly Role[] = ['qa', 'administrator', 'witness'];

const colours = { altered: 'red', look: 'yellow', clear: 'green' } as const;
const codes = { altered: exitCodes.altered, look: exitCodes.undecided, clear: exitCodes.done } as const;

/** `dwellmark audit`: the whole store verified, judged again, and gone through for what doesn't look right. */
export async function run(options: AuditOptions): Promise<void> {
  const shop = findShop(options.shop);
  const file = options.output;
  if (file !== undefined) demandFreePlace(file);
  const auditor = file === undefined ? null : await unlockedAuditor(shop, options);
  const report = await audited(shop, options);
  const text = auditText(report, unitSystems[shop.units]);
  if (options.json) sayJson(report);
  else for (const line of text) say(line.startsWith('Outcome: ') ? paint(line, 'bold', colours[report.outcome]) : line);
  if (file !== undefined && auditor) {
    putReport(shop, report, text, { file, auditor });
    remark(`${file} written, signed by ${auditor.signer.name}. Check it with: dwellmark verify ${file}`);
  }
  if (options.json) remark(outcomeText(report));
  process.exitCode = codes[report.outcome];
}

async function unlockedAuditor(shop: Shop, options: AuditOptions): Promise<UnlockedSigner> {
  const store = openStore(shop.database, { mode: 'write' });
  try {
    return await entitledPerson(store, shop, { what: 'an audit report', roles: auditors }, options);
  } finally {
    store.close();
  }
}

async function audited(shop: Shop, options: AuditOptions): Promise<AuditReport> {
  const papers = await anchorsOf(options.anchor);
  const other =
    options.procedure === undefined ? null : otherProcedure(readProcedureFile(options.procedure), options.procedure);
  const progress = new Progress();
  const store = openStore(shop.database, { mode: 'read' });
  try {
    return await auditOnAllCores(store, {
      shop: { name: shop.name, address: shop.address },
      version: softwareVersion,
      papers,
      credible: { testsAShift: options.testsAShift, required: shop.signatures.required },
      ...(other ? { otherProcedure: other } : {}),
      progress: (part, done, of, test) => progress.tell(`${part}: ${done} of ${of}  ${test}`),
      threadLost,
    });
  } finally {
    progress.end();
    store.close();
  }
}

/** Signs the report, lays it down, and says so in the ledger. */
function putReport(
  shop: Shop,
  report: AuditReport,
  text: readonly string[],
  { file, auditor }: { file: string; auditor: UnlockedSigner },
): void {
  const document = reportDocument(report, text);
  const statement = reportStatement(document);
  const signature = signStatement(auditor, 'audit report', statement, isoWithOffset(new Date()));
  const { outcome, ledger, verification, suspicions } = report;
  const about = { by: auditor.signer.name, outcome, ledger, problems: verification.problems.length };
  const store = openStore(shop.database, { mode: 'write' });
  try {
    const waiting = waitingFile(file, Buffer.from(signedReportText(document, signature), 'utf8'));
    store.act(
      'audit reported',
      { ...statement, ...about, tests: verification.counts.tests, suspicions: suspicions.length },
      { subject: auditor.signer.id },
    );
    waiting.place();
  } finally {
    store.close();
  }
}
