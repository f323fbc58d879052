import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { type AuditReport, judgeStored } from '../../src/audit/index.js';
import { scratchFolder } from '../record/sample-test.js';
import { plantForgeries } from './forgeries.js';

const program = path.resolve(import.meta.dirname, '../../dist/src/cli/main.js');

/** How many tests the store holds: 600, or what `DWELLMARK_FORGERY_TESTS` says. */
const tests = Number(process.env.DWELLMARK_FORGERY_TESTS ?? 600);

describe(`dwellmark audit on a store of ${tests} tests with 20 planted forgeries`, () => {
  it('all forgeries are found, at most 5 innocent tests flagged; the signature by a revoked key holds no longer', () => {
    const folder = scratchFolder();
    writeFileSync(path.join(folder, 'dwellmark.toml'), 'name = "Kestrel Hydraulics"\n');
    const planted = plantForgeries(path.join(folder, 'record.db'), { tests, seconds: 120 }, judgeStored);
    planted.store.close();
    const began = performance.now();
    const { code, out } = audit(folder);
    const seconds = (performance.now() - began) / 1000;
    const report = JSON.parse(out) as AuditReport;
    // One forgery is a signature by a revoked key: that alone does not verify, and makes the exit code.
    expect(report.verification.problems.map(({ what }) => what)).toEqual([
      'signed after the key was revoked (ledger line 6)',
    ]);
    expect(code).toBe(4);
    expect(report.judgedAgain).toMatchObject({ tests, identical: tests });
    const missed = planted.forgeries.filter(
      ({ kinds, test }) => !report.suspicions.some((one) => kinds.includes(one.kind) && one.tests.includes(test)),
    );
    expect(missed).toEqual([]);
    const flagged = new Set(report.suspicions.flatMap((one) => one.tests));
    const innocent = [...flagged].filter((test) => !planted.involved.has(test));
    console.error(
      `${report.suspicions.length} suspicions, ${innocent.length} innocent tests flagged of ${tests}, audit ${seconds.toFixed(1)} s`,
    );
    expect(innocent.length, innocent.join(', ')).toBeLessThanOrEqual(5);
  });
});

function audit(folder: string): { code: number; out: string } {
  try {
    const out = execFileSync('node', [program, 'audit', '--json', '--shop', folder], {
      encoding: 'utf8',
      maxBuffer: 1 << 28,
      stdio: ['ignore', 'pipe', 'ignore'],
    });
    return { code: 0, out };
  } catch (error) {
    const { status, stdout } = error as { status: number; stdout: string };
    return { code: status, out: stdout };
  }
}
