import { createHash, createPublicKey, generateKeyPairSync, sign, verify } from 'node:crypto';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import {
  type AuditReport,
  auditOnAllCores,
  auditText,
  reportDocument,
  reportStatement,
  signedReportText,
  verifyReport,
} from '../../src/audit/index.js';
import type { AuditQuestion } from '../../src/audit/report/audit-store.js';
import { canonicalJson, type StatementSignature } from '../../src/record/index.js';
import { signStatement } from '../../src/signing/index.js';
import { unitSystems } from '../../src/units/index.js';
import { sampleResult, scratchFolder } from '../record/sample-test.js';
import { sampleJudge, smallStore } from './sample-store.js';

const folder = scratchFolder();
const { store } = smallStore(join(folder, 'audited.db'));
afterAll(() => store.close());

const question = {
  shop: { name: 'Kestrel Hydraulics', address: '4 Quay Road, Millhaven' },
  version: '0.1.0',
};
/** Judged here as the sample tests are. */
const auditStore = (asked: AuditQuestion, judge = sampleJudge): Promise<AuditReport> =>
  auditOnAllCores(store, asked, undefined, judge);

/** A signer whose key is made for this file; enrolled in the store under `auditor`. */
const { publicKey, privateKey } = generateKeyPairSync('ed25519');
const auditor = {
  id: 'auditor',
  name: 'Tove Brenkeld',
  role: 'witness',
  organisation: 'Harbour Inspection',
  publicKey: publicKey.export({ format: 'der', type: 'spki' }).subarray(-32).toString('base64'),
} as const;
store.addSigner(auditor);

function signed(report: AuditReport): { text: string; document: string; signature: StatementSignature } {
  const document = reportDocument(report, auditText(report, unitSystems.bar));
  const unlocked = { signer: auditor, failuresBefore: 0, sign: (bytes: Uint8Array) => sign(null, bytes, privateKey) };
  const signature = signStatement(unlocked, 'audit report', reportStatement(document), '2026-03-03T10:00:00+01:00');
  return { text: signedReportText(document, signature), document, signature };
}

const report = await auditStore(question);

describe('an audit of a whole store', () => {
  it('says what was checked, by what, up to where, and what every check came to', () => {
    expect(report).toMatchObject({
      outcome: 'look',
      ledger: store.ledgerHead(),
      software: { version: '0.1.0' },
      judgedAgain: { tests: 2, identical: 2, differences: [] },
      verification: { problems: [], counts: { tests: 3, signatures: 3, certificates: 1 } },
    });
    expect(report.lookedFor.find(({ kind }) => kind === 'same trace')?.found).toBe(0);
    expect(report.suspicions.map(({ kind }) => kind)).toContain('no calibration');
    const text = auditText(report, unitSystems.bar);
    expect(Math.max(...text.map((line) => line.length))).toBeLessThanOrEqual(91);
    expect(text.join('\n')).toContain('nothing checked was altered; ');
    for (const { kind } of report.lookedFor) expect(text.join(' ').replace(/\s+/g, ' ')).toContain(kind);
  });

  it('a store judged by another evaluation is listed, test by test, and is no alarm', async () => {
    const newer = await auditStore(question, (_header, inputs) => ({
      ...sampleResult(inputs, 1000),
      evaluationVersion: 'next',
    }));
    expect(newer.verification.problems).toEqual([]);
    expect(newer.judgedAgain).toMatchObject({ tests: 2, identical: 0, otherEvaluation: 2 });
    expect(newer.judgedAgain.differences[0]).toMatchObject({
      test: 'T-2026-0001',
      stored: 'pass',
      again: 'fail',
      ports: [{ port: 'A', stored: 'pass', again: 'fail' }],
    });
  });

  it('by another procedure: what changes, and what it cannot be applied to', async () => {
    const about = { id: 'stricter', title: 'Stricter', revision: '2', source: 'the shop', sha256: 'ab'.repeat(32) };
    const { otherProcedure: other } = await auditStore({
      ...question,
      otherProcedure: {
        ...about,
        planOf: ({ plan }) => plan,
        judge: ({ test }, inputs) => {
          if (test === 'T-2026-0002') throw new Error('the job has no port B');
          return sampleResult(inputs, 1000);
        },
      },
    });
    expect(other).toMatchObject({
      ...about,
      tests: 1,
      sameVerdict: 0,
      differences: [{ test: 'T-2026-0001', stored: 'pass', again: 'fail' }],
      notJudged: [{ test: 'T-2026-0002', why: 'the job has no port B' }],
    });
  });

  it('a signed report verifies by itself, and against the store that has its line', () => {
    const { text, document, signature } = signed(report);
    expect(verifyReport(text, null)).toMatchObject({ problems: [], report: { outcome: 'look' } });
    expect(verifyReport(text, store).problems.map(({ what }) => what)).toEqual(['the ledger has no line of it']);
    store.act('audit reported', { ...reportStatement(document) }, { subject: signature.signer.id });
    const known = verifyReport(text, store);
    expect(known.problems).toEqual([]);
    expect(known.checked.join(' ')).toContain(`still holds position ${report.ledger.position}`);
  });

  it('the signature can be computed with nothing but SHA-256, RFC 8785 and Ed25519', () => {
    const { text, signature } = signed(report);
    const body = text.slice(0, text.indexOf('-- signature --\n'));
    const { value, ...unsigned } = signature;
    const statement = { document: createHash('sha256').update(body).digest('hex') };
    const bytes = `dwellmark audit report signature 1\n${canonicalJson({ statement, ...unsigned })}`;
    const spki = Buffer.concat([
      Buffer.from('302a300506032b6570032100', 'hex'),
      Buffer.from(auditor.publicKey, 'base64'),
    ]);
    const key = createPublicKey({ key: spki, format: 'der', type: 'spki' });
    expect(verify(null, Buffer.from(bytes, 'utf8'), key, Buffer.from(value, 'base64'))).toBe(true);
  });

  it('any letter of a report changed is found', () => {
    const { text } = signed(report);
    for (let at = 30; at < text.length - 2; at += 211) {
      const other = text[at] === 'x' ? 'y' : 'x';
      const changed = text.slice(0, at) + other + text.slice(at + 1);
      expect(verifyReport(changed, null).problems, `at ${at}: ${text.slice(at - 9, at + 9)}`).not.toEqual([]);
    }
  });

  it('a report by somebody else under an enrolled name is refused by the store', () => {
    const { document } = signed(report);
    const other = generateKeyPairSync('ed25519');
    const raw = other.publicKey.export({ format: 'der', type: 'spki' }).subarray(-32).toString('base64');
    const forger = {
      signer: { ...auditor, publicKey: raw },
      failuresBefore: 0,
      sign: (bytes: Uint8Array) => sign(null, bytes, other.privateKey),
    };
    const signature = signStatement(forger, 'audit report', reportStatement(document), '2026-03-03T10:00:00+01:00');
    const forged = signedReportText(document, signature);
    expect(verifyReport(forged, null).problems).toEqual([]);
    expect(verifyReport(forged, store).problems.map(({ what }) => what)).toContain(
      'made with a key that is not enrolled for Tove Brenkeld',
    );
  });
});
