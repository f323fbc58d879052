import { closeSync, mkdtempSync, openSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { openStore } from '../../src/record/index.js';
import { dwellmark } from './command-line.js';

const logs = path.resolve(import.meta.dirname, '../../sample-logs');
const right = 'four grey herons waiting';
let shop = '';
let test = '';
let own = '';

async function asked(words: string | null, ...args: readonly string[]) {
  if (words === null) return dwellmark(...args, '--shop', shop);
  writeFileSync(path.join(shop, 'passphrase'), `${words}\n`);
  const fd = openSync(path.join(shop, 'passphrase'), 'r');
  try {
    return await dwellmark(...args, '--shop', shop, '--passphrase-fd', String(fd));
  } finally {
    closeSync(fd);
  }
}

async function done(words: string | null, ...args: readonly string[]): Promise<string> {
  const said = await asked(words, ...args);
  expect(said).toMatchObject({ code: 0 });
  return said.out;
}

const imported = async (job: string, technician: string): Promise<string> =>
  (
    JSON.parse(
      await done(
        null,
        'import',
        path.join(logs, 'tight.csv'),
        '--job',
        job,
        '--port',
        'A',
        '--technician',
        technician,
        '--json',
      ),
    ) as { test: string }
  ).test;

beforeAll(async () => {
  shop = mkdtempSync(path.join(tmpdir(), 'dwellmark-refused-'));
  await done(right, 'init', '--yes', '--name', 'Harrow Fell Hydraulics', '--signer', 'Ines Okafor');
  await done(right, 'signer', 'add', 'gone', '--name', 'Piet Brandsma', '--role', 'qa');
  await done(right, 'signer', 'revoke', 'gone', '--reason', 'left the shop');
  test = await imported(path.join(logs, 'tight.job.toml'), 'Mo Arden');
  own = await imported(path.join(logs, 'tight.job.toml'), 'Ines Okafor');
  const job = readFileSync(path.join(logs, 'tight.job.toml'), 'utf8')
    .replace('"Tarn Quarry Plant"', '"Tarn\\u0007Quarry"')
    .replace('tight.procedure.toml', path.join(logs, 'tight.procedure.toml'));
  writeFileSync(path.join(shop, 'control.toml'), job);
}, 60_000);

afterAll(() => rmSync(shop, { recursive: true, force: true }));

/** Everything that would show that something was written. */
function traces(): readonly unknown[] {
  const store = openStore(path.join(shop, 'record.db'), { mode: 'read' });
  try {
    return [store.ledgerHead(), readdirSync(shop).filter((name) => name.endsWith('.pdf') || name.endsWith('.part'))];
  } finally {
    store.close();
  }
}

it.each<[string, string | null, () => readonly string[], RegExp]>([
  [
    'a wrong passphrase',
    'some other long words',
    () => ['sign', test, '--signer', 'qa', '--meaning', 'rejected'],
    /does not open the key/,
  ],
  ['a revoked key', right, () => ['sign', test, '--signer', 'gone', '--meaning', 'rejected'], /revoked/],
  [
    'review by whoever ran the test',
    right,
    () => ['sign', own, '--signer', 'qa', '--meaning', 'reviewed and released'],
    /ran this test and can.t review it/,
  ],
  [
    'a meaning that is not of the role',
    right,
    () => ['sign', test, '--signer', 'qa', '--meaning', 'witnessed'],
    /witness/,
  ],
  [
    'a missing signature',
    null,
    () => ['certificate', test, '-o', path.join(shop, 'a.pdf')],
    /still needs the signature "reviewed and released"/,
  ],
  [
    'a missing signature on a label',
    null,
    () => ['certificate', test, '--label', '-o', path.join(shop, 'a.pdf')],
    /still needs/,
  ],
  [
    'a job with a control character, imported,',
    null,
    () => ['import', path.join(logs, 'tight.csv'), '--job', path.join(shop, 'control.toml'), '--port', 'A'],
    /control\.toml:\d+, customer.*\n?.*"customer" has the control character U\+0007/,
  ],
  [
    'such a job, planned,',
    null,
    () => ['plan', path.join(shop, 'control.toml')],
    /control\.toml:\d+, customer.*\n?.*"customer" has the control character U\+0007/,
  ],
  [
    'such a job, tested,',
    null,
    () => ['test', path.join(shop, 'control.toml'), '--unattended'],
    /control\.toml:\d+, customer.*\n?.*"customer" has the control character U\+0007/,
  ],
  [
    'a technician with a control character',
    null,
    () => [
      ...['import', path.join(logs, 'tight.csv'), '--job', path.join(logs, 'tight.job.toml'), '--port', 'A'],
      ...['--technician', 'Mo\u0007Arden'],
    ],
    /--technician has a control character/,
  ],
  [
    'a root where a file is',
    null,
    () => ['certificate', '--root', path.join(shop, 'dwellmark.toml')],
    /not written over/,
  ],
])('%s is refused in one to three lines, and nothing is written', async (_what, words, args, says) => {
  const before = traces();
  const said = await asked(words, ...args());
  expect(said).toMatchObject({ code: 2, out: '' });
  expect(said.err).toMatch(says);
  const lines = said.err.trimEnd().split('\n');
  expect(lines.slice(lines.findIndex((line) => line.startsWith('dwellmark:'))).length).toBeLessThanOrEqual(3);
  expect(traces()).toEqual(before);
});

it('the fifth wrong passphrase in a row locks the key, which the ledger keeps; even the right one waits then', async () => {
  const sign = ['sign', test, '--signer', 'qa', '--meaning', 'rejected'] as const;
  for (let wrong = 2; wrong <= 5; wrong++) await asked('some other long words', ...sign);
  expect((await asked(right, ...sign)).err).toMatch(/locked/);
  const store = openStore(path.join(shop, 'record.db'), { mode: 'read' });
  try {
    expect(store.acts('signer locked out').map(({ subject }) => subject)).toContain('qa');
    expect(store.test(test).signatures).toEqual([]);
  } finally {
    store.close();
  }
});

it('a void is declared once', async () => {
  await done(right, 'void', test, '--signer', 'admin', '--reason', 'wrong cylinder');
  const before = traces();
  const again = await asked(right, 'void', test, '--signer', 'admin', '--reason', 'again');
  expect(again).toMatchObject({ code: 2, out: '' });
  expect(again.err).toMatch(/was voided on/);
  expect(traces()).toEqual(before);
});

it('words of conformity are printed when QA gives them, in a copy too', async () => {
  const other = await imported(path.join(logs, 'tight.job.toml'), 'Mo Arden');
  const shopFile = path.join(shop, 'dwellmark.toml');
  writeFileSync(shopFile, readFileSync(shopFile, 'utf8').replace(/^required = .*$/m, 'required = []'));
  const paper = JSON.parse(
    await done(
      null,
      'certificate',
      other,
      '--declare',
      'Inspection document 3.1',
      '-o',
      path.join(shop, 'd.pdf'),
      '--json',
    ),
  ) as { number: string };
  const copy = JSON.parse(
    await done(null, 'certificate', '--copy', paper.number, '-o', path.join(shop, 'e.pdf'), '--json'),
  );
  expect(copy).toMatchObject({ asIssued: true });
});
