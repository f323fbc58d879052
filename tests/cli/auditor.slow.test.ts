import { closeSync, mkdtempSync, openSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { AuditReport, CheckReport, RecallLine } from '../../src/audit/index.js';
import { dwellmark } from './command-line.js';

const logs = path.resolve(import.meta.dirname, '../../sample-logs');
let shop = '';
let elsewhere = '';
const inShop = (...parts: readonly string[]): string => path.join(shop, ...parts);
const run = (...args: readonly string[]) => dwellmark(...args, '--shop', shop);

/** A command with the passphrase on a descriptor of its own. */
async function signed(...args: readonly string[]) {
  const fd = openSync(inShop('passphrase'), 'r');
  try {
    return await run(...args, '--passphrase-fd', String(fd));
  } finally {
    closeSync(fd);
  }
}

beforeAll(async () => {
  shop = mkdtempSync(path.join(tmpdir(), 'dwellmark-auditor-'));
  elsewhere = mkdtempSync(path.join(tmpdir(), 'dwellmark-elsewhere-'));
  writeFileSync(inShop('passphrase'), 'four grey herons waiting\n');
  expect(await signed('init', '--yes', '--name', 'Harrow Fell Hydraulics', '--signer', 'Ines Okafor')).toMatchObject({
    code: 0,
  });
  const job = path.join(logs, 'tight.job.toml');
  const log = path.join(logs, 'tight.csv');
  expect((await run('import', log, '--job', job, '--port', 'A', '--technician', 'Mo Arden')).code).toBe(0);
  expect((await signed('sign', 'T-2026-0001', '--meaning', 'reviewed and released')).code).toBe(0);
  expect((await run('certificate', 'T-2026-0001', '-o', inShop('paper.pdf'))).code).toBe(0);
}, 120_000);

afterAll(() => {
  for (const folder of [shop, elsewhere]) rmSync(folder, { recursive: true, force: true });
});

describe('an auditor at the command line', () => {
  it('audit --json says all, and its exit code that something is to be looked into', async () => {
    const said = await run('audit', '--json', '--anchor', inShop('paper.pdf'));
    const report = JSON.parse(said.out) as AuditReport;
    expect(report.verification.problems).toEqual([]);
    expect(report.judgedAgain).toMatchObject({ tests: 1, identical: 1 });
    expect(report.anchors[0]?.from).toBe(inShop('paper.pdf'));
    expect(said.code).toBe(report.suspicions.length > 0 ? 3 : 0);
    expect(said.err.trim().split('\n')).toHaveLength(1);
  });

  it('audit by a procedure that does not fit says so for the test, and leaves the original alone', async () => {
    const other = inShop('short.toml');
    const text = readFileSync(path.join(logs, 'tight.procedure.toml'), 'utf8');
    writeFileSync(other, text.replace(/drop\s*=\s*"[^"]*"/, 'drop = "0.001 bar"'));
    const { otherProcedure } = JSON.parse((await run('audit', '--json', '--procedure', other)).out) as AuditReport;
    expect(otherProcedure).toMatchObject({ tests: 1, sameVerdict: 0, notJudged: [] });
    expect(otherProcedure?.differences[0]).toMatchObject({ test: 'T-2026-0001', stored: 'pass' });
    expect(await run('audit', '--procedure', inShop('none.toml'))).toMatchObject({ code: 2, out: '' });
  });

  it('a signed report: verified alone, in the shop, and as an anchor; one letter changed is altered', async () => {
    const file = inShop('audit.txt');
    const made = await signed('audit', '-o', file, '--signer', 'qa');
    expect([0, 3]).toContain(made.code);
    expect(made.out).toContain('Audit of the record of Harrow Fell Hydraulics');
    expect((await run('verify', file)).code).toBe(0);
    expect((await run('verify', '--all', '--anchor', file)).code).toBe(0);
    const said = await run('audit', '-o', file);
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toContain('there is a file already');
    writeFileSync(inShop('changed.txt'), readFileSync(file, 'utf8').replace('1 tests', '2 tests'));
    expect((await run('verify', inShop('changed.txt'))).code).toBe(4);
  });

  it('a certificate as an anchor proves that the store still holds its test; another shop’s certificate does not fit', async () => {
    const report = JSON.parse((await run('verify', '--json', '--anchor', inShop('paper.pdf'))).out) as CheckReport;
    expect(report.problems).toEqual([]);
    expect(report.checked.join(' ')).toContain('test T-2026-0001: the store still holds the record');
    await dwellmark('init', '--yes', '--name', 'Another', '--shop', elsewhere);
    const other = await dwellmark('verify', '--anchor', inShop('paper.pdf'), '--shop', elsewhere);
    expect(other.code).toBe(4);
    expect(other.out.replace(/\s+/g, ' ')).toContain('T-2026-0001: is not in the store');
    const refused = await run('verify', '--anchor', 'nothing');
    expect(refused).toMatchObject({ code: 2, out: '' });
    expect(refused.err.trim().split('\n').length).toBeLessThanOrEqual(3);
  });

  it('records in several forms at once; the bundle verifies without the shop', async () => {
    const out = path.join(elsewhere, 'out');
    expect((await run('export', 'T-2026-0001', '--format', 'csv,json,parquet,bundle', '-o', out)).code).toBe(0);
    expect(readdirSync(out).sort()).toEqual(
      ['bundle.jsonl', 'csv', 'json', 'parquet'].map((end) => `T-2026-0001.${end}`),
    );
    const bundle = path.join(out, 'T-2026-0001.bundle.jsonl');
    expect((await dwellmark('verify', bundle, '--shop', elsewhere)).code).toBe(6);
    expect((await run('verify', '--all', '--anchor', bundle)).code).toBe(0);
    const page = inShop('page.html');
    expect((await run('export', 'T-2026-0001', '--format', 'html', '-o', page)).code).toBe(0);
    expect((await run('verify', '--all', '--anchor', page)).code).toBe(0);
    expect(await run('export', 'T-2026-0001', '--format', 'csv,json')).toMatchObject({ code: 2, out: '' });
    expect((await run('export', 'T-2026-0001', '--format', 'xls')).err).toContain('there is no format "xls"');
  });

  it('lists as CSV, a cylinder’s history, and a search without words', async () => {
    const rows = (await run('list', '--csv')).out.trimEnd().split('\n');
    expect(rows[0]).toMatch(/^test,started_at,customer,cylinder_serial/);
    expect(rows[1]).toMatch(/^T-2026-0001,/);
    const serial = (JSON.parse((await run('list', '--json')).out) as { serial: string }[])[0]?.serial ?? '';
    const history = await run('show', '--cylinder', serial.toLowerCase());
    expect(history.out).toContain(`Cylinder ${serial}`);
    expect(history.out).toContain('one hold: no trend');
    const json = JSON.parse((await run('show', '--cylinder', serial, '--json')).out) as { holds: unknown[] };
    expect(json.holds).toHaveLength(1);
    writeFileSync(inShop('notes.txt'), 'only notes');
    for (const args of [
      ['list', '--since', '2026-02-30'],
      ['verify', inShop('notes.txt')],
      ['verify', 'HF-1.pdf'],
    ])
      expect(await run(...args), args.join(' ')).toMatchObject({ code: 2, out: '' });
    for (const args of [['show'], ['show', '--cylinder', 'none'], ['list', '--text', '...']])
      expect(await run(...args), args.join(' ')).toMatchObject({ code: 2, out: '' });
  });
});

describe('a recall at the command line', () => {
  const recall = ['recall', '--gauge', 'HF-40117', '--reads-high', '10 %'];

  it('a decision needs a reason, tests, an entitled person and the passphrase', async () => {
    const gauge = (JSON.parse((await run('list', '--json')).out) as { gauge: string }[])[0]?.gauge;
    expect(gauge).toBe('HF-40117');
    for (const [args, says] of [
      [['--void', '--changed'], 'needs its reason'],
      [['--void', '--reason', 'x'], 'which are meant'],
      [['--void', '--reason', 'x', '--all', '--decide', 'stands'], 'does not go with'],
      [['--decide', 'stands', '--reason', 'x', '--test', 'T-2020-0001'], 'is not one of this recall'],
      [['--decide', 'stands', '--reason', 'x', '--all'], 'Who signs: there is no terminal to ask on'],
      [['--decide', 'stands', '--reason', 'x', '--all', '--signer', 'qa'], 'a passphrase is needed'],
    ] as const)
      expect((await run(...recall, ...args)).err, args.join(' ')).toContain(says);
    await signed('signer', 'add', 'mo', '--name', 'Mo Arden', '--role', 'technician');
    const technician = await signed(...recall, '--decide', 'stands', '--reason', 'x', '--all', '--signer', 'mo');
    expect(technician).toMatchObject({ code: 2, out: '' });
    expect(technician.err).toContain('Mo Arden is technician');
  });

  it('withdraws once, shows it afterwards and in show, and writes a list for each customer', async () => {
    const decide = [...recall, '--changed', '--void', '--reason', 'read 10 % high, CAL-0412', '--told', '2026-07-01'];
    const made = await signed(...decide, '--signer', 'qa');
    expect(made.code).toBe(0);
    expect(made.err).toContain('T-2026-0001: certificate withdrawn; void: ');
    const later = JSON.parse((await run(...recall, '--json')).out) as { tests: RecallLine[] };
    expect(later.tests[0]).toMatchObject({
      changes: true,
      certificates: [{ voided: true }],
      disposition: { decision: 'certificate withdrawn', by: 'Ines Okafor', customerToldAt: '2026-07-01' },
    });
    expect((await run('show', 'T-2026-0001')).out.replace(/\s+/g, ' ')).toContain(
      'recall of gauge HF-40117: certificate withdrawn: read 10 % high, CAL-0412 (Ines Okafor',
    );
    expect((await run(...recall, '-o', inShop('lists'))).code).toBe(0);
    const [list = ''] = readdirSync(inShop('lists'));
    const [head = '', row = ''] = readFileSync(inShop('lists', list), 'utf8').split('\n');
    expect(head).toContain('customer,test,');
    expect(row).toContain('certificate withdrawn,"read 10 % high, CAL-0412",Ines Okafor');
    expect((await run('verify', '--all')).code).toBe(0);
  });
});
