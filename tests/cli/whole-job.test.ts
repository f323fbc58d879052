import { closeSync, mkdtempSync, openSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CheckReport } from '../../src/audit/index.js';
import type { ResultJson } from '../../src/cli/report/result-json.js';
import { dwellmark } from './command-line.js';

const logs = path.resolve(import.meta.dirname, '../../sample-logs');
const passphrase = 'four grey herons waiting';
let shop = '';

/** Runs a command with a passphrase on a file descriptor, as a script would. */
async function withPassphrase(words: string, ...args: readonly string[]) {
  const file = path.join(shop, `passphrase-${Math.random()}`);
  writeFileSync(file, `${words}\n`);
  const fd = openSync(file, 'r');
  try {
    return await dwellmark(...args, '--passphrase-fd', String(fd));
  } finally {
    closeSync(fd);
  }
}

beforeAll(async () => {
  shop = mkdtempSync(path.join(tmpdir(), 'dwellmark-shop-'));
  const made = await withPassphrase(
    passphrase,
    'init',
    '--yes',
    '--shop',
    shop,
    '--name',
    'Harrow Fell Hydraulics',
    '--signer',
    'Ines Okafor',
  );
  expect(made).toMatchObject({ code: 0 });
});

afterAll(() => rmSync(shop, { recursive: true, force: true }));

const job = (id: string) => path.join(logs, `${id}.job.toml`);
const log = (id: string) => path.join(logs, `${id}.csv`);

describe('the whole job in one shop', () => {
  it('import keeps the test and says so', async () => {
    const said = await dwellmark(
      'import',
      log('tight'),
      '--job',
      job('tight'),
      '--port',
      'A',
      '--shop',
      shop,
      '--json',
      '--technician',
      'Marek Dunn',
    );
    const result = JSON.parse(said.out) as ResultJson;
    expect(said.code).toBe(0);
    expect(result).toMatchObject({ test: expect.stringMatching(/^T-\d{4}-0001$/), verdict: 'pass' });
    expect(result.record?.head).toMatch(/^[0-9a-f]{64}$/);
  });

  it("list and show find it again, in JSON with SI and in words with the customer's units", async () => {
    const listed = JSON.parse((await dwellmark('list', '--shop', shop, '--json')).out) as {
      test: string;
      verdict: string;
    }[];
    expect(listed).toMatchObject([{ verdict: 'pass' }]);
    const test = listed[0]?.test ?? '';
    const shown = JSON.parse((await dwellmark('show', test, '--shop', shop, '--json')).out) as ResultJson;
    expect(shown.ports[0]?.stages[0]).toMatchObject({
      name: 'proof',
      targetPa: 24_000_000,
      decision: 'guarded',
      temperatureCorrected: true,
    });
    const words = (await dwellmark('show', test, '--shop', shop)).out;
    expect(words).toMatch(/proof, 240\.0\sbar: PASS/);
    expect(words).toContain('Tarn Quarry Plant');
  });

  it('a certificate waits for the signature that the shop asks for', async () => {
    const said = await dwellmark('certificate', await first(), '--shop', shop, '-o', path.join(shop, 'early.pdf'));
    expect(said).toMatchObject({ code: 2, out: '' });
    expect(said.err).toContain('reviewed and released');
  });

  it('a wrong passphrase signs nothing', async () => {
    const said = await withPassphrase(
      'some other long words',
      'sign',
      await first(),
      '--shop',
      shop,
      '--meaning',
      'reviewed and released',
    );
    expect(said.code).toBe(2);
    expect(said.err).toContain('does not open the key');
    expect(said.err.trim().split('\n').length).toBeGreaterThan(0);
    const shown = JSON.parse((await dwellmark('show', await first(), '--shop', shop, '--json')).out) as ResultJson;
    expect(shown.record?.signatures).toEqual([]);
  });

  it('sign, certificate, and verify with nothing but the PDF', async () => {
    const test = await first();
    const signed = await withPassphrase(
      passphrase,
      'sign',
      test,
      '--shop',
      shop,
      '--meaning',
      'reviewed and released',
      '--json',
    );
    expect(JSON.parse(signed.out)).toMatchObject({
      meaning: 'reviewed and released',
      signer: { name: 'Ines Okafor', role: 'qa' },
    });
    const file = path.join(shop, 'c.pdf');
    const issued = await dwellmark('certificate', test, '--shop', shop, '-o', file, '--json');
    expect(JSON.parse(issued.out)).toMatchObject({ number: expect.stringMatching(/^C-\d{4}-0001$/) });
    const root = path.join(shop, 'shop-root.pem');
    await dwellmark('certificate', '--root', root, '--shop', shop);
    const verified = await dwellmark('verify', file, '--root', root);
    expect(verified.code).toBe(0);
    expect(verified.out).toMatch(/^Test report C-\d{4}-0001\n.*verdict +PASS.*Nothing checked was altered: this is/s);
    const unknown = await dwellmark('verify', file);
    expect(unknown.code).toBe(6);
    expect(unknown.out).toMatch(/who signed is not known.*fingerprint(?:\s+[0-9a-f]{4}){16}.*NOT PROVEN/s);
    const bytes = readFileSync(file);
    const middle = Math.floor(bytes.length / 2);
    bytes.writeUInt8(bytes.readUInt8(middle) ^ 1, middle);
    writeFileSync(file, bytes);
    expect((await dwellmark('verify', file)).code).toBe(4);
  });

  it('replay recomputes the stored verdict to the last bit', async () => {
    const said = await dwellmark('replay', await first(), '--shop', shop, '--json');
    expect(JSON.parse(said.out)).toMatchObject({ same: true, verdict: 'pass', storedVerdict: 'pass' });
    expect(said.code).toBe(0);
  });

  it('replay judges by another procedure beside the original', async () => {
    const strict = path.join(shop, 'strict.toml');
    writeFileSync(
      strict,
      readFileSync(path.join(logs, 'tight.procedure.toml'), 'utf8').replace(
        /drop\s+= "2 %"|drop = "2 %"/,
        'drop = "0.01 bar"',
      ),
    );
    const said = await dwellmark('replay', await first(), '--shop', shop, '--procedure', strict, '--json');
    expect(JSON.parse(said.out)).toMatchObject({ verdict: 'pass', otherProcedure: { verdict: 'inconclusive' } });
    expect(said.code).toBe(3);
  });

  it('verify --all finds nothing altered, and takes a ledger position as an anchor', async () => {
    const said = await dwellmark('verify', '--all', '--shop', shop, '--json');
    const report = JSON.parse(said.out) as CheckReport;
    expect(report.problems).toEqual([]);
    expect(report.counts).toMatchObject({ tests: 1, signatures: 1, certificates: 1 });
    const wrong = await dwellmark('verify', '--all', '--shop', shop, '--anchor', `3:${'0'.repeat(64)}`);
    expect(wrong.code).toBe(4);
  });

  it('recall finds the test by its gauge, and what would change had the gauge read high', async () => {
    const said = await dwellmark('recall', '--gauge', 'HF-40117', '--shop', shop, '--reads-high', '10', '--json');
    expect(JSON.parse(said.out)).toMatchObject({
      tests: [{ verdict: 'pass', changes: true, certificates: [{ voided: false }] }],
    });
  });

  it('a void keeps the number and the reason', async () => {
    const test = await first();
    const voided = (reason: string) =>
      withPassphrase(passphrase, 'void', test, '--shop', shop, '--signer', 'qa', '--reason', reason);
    const unsigned = await dwellmark('void', test, '--shop', shop, '--signer', 'qa', '--reason', 'nobody signs this');
    expect(unsigned).toMatchObject({ code: 2, out: '' });
    expect((await voided('wrong cylinder on the bench')).code).toBe(0);
    expect((await voided('again')).err).toContain('was voided on');
    const again = await dwellmark('certificate', test, '--shop', shop, '-o', path.join(shop, 'late.pdf'));
    expect(again.err).toContain('wrong cylinder on the bench');
  });
});

async function first(): Promise<string> {
  const listed = JSON.parse((await dwellmark('list', '--shop', shop, '--json')).out) as { test: string }[];
  return listed.at(-1)?.test ?? '';
}
