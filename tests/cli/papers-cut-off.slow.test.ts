import { spawn } from 'node:child_process';
import { closeSync, mkdirSync, mkdtempSync, openSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { openStore, sha256Hex } from '../../src/record/index.js';
import { dwellmark } from './command-line.js';

/** Runs of the built program that are killed; more with DWELLMARK_PAPER_KILLS. */
const kills = Number(process.env.DWELLMARK_PAPER_KILLS ?? 12);
const tests = 8;
const root = path.resolve(import.meta.dirname, '../..');
const logs = path.join(root, 'sample-logs');
const program = process.env.DWELLMARK_PROGRAM ?? path.join(root, 'dist/src/cli/main.js');
let shop = '';

beforeAll(async () => {
  shop = mkdtempSync(path.join(tmpdir(), 'dwellmark-cut-off-'));
  expect(
    (await withWords((fd) => dwellmark('init', '--yes', '--shop', shop, '--passphrase-fd', String(fd)))).code,
  ).toBe(0);
  const file = path.join(shop, 'dwellmark.toml');
  writeFileSync(file, readFileSync(file, 'utf8').replace(/^required = .*$/m, 'required = []'));
  const job = path.join(logs, 'tight.job.toml');
  for (let index = 0; index < tests; index++)
    await dwellmark('import', path.join(logs, 'tight.csv'), '--job', job, '--port', 'A', '--shop', shop, '--json');
}, 120_000);

async function withWords<T>(work: (fd: number) => Promise<T>): Promise<T> {
  writeFileSync(path.join(shop, 'words'), 'four grey herons waiting\n');
  const fd = openSync(path.join(shop, 'words'), 'r');
  try {
    return await work(fd);
  } finally {
    closeSync(fd);
  }
}

afterAll(() => rmSync(shop, { recursive: true, force: true }));

/** Kills the program after a while, hard; false when it had ended before. */
function killedAfter(ms: number, ...args: readonly string[]): Promise<boolean> {
  return new Promise((resolve) => {
    const typed = args.includes('--passphrase-fd') ? [openSync(path.join(shop, 'words'), 'r')] : [];
    const child = spawn(process.execPath, [program, ...args], { stdio: ['ignore', 'ignore', 'ignore', ...typed] });
    for (const fd of typed) closeSync(fd);
    const timer = setTimeout(() => child.kill('SIGKILL'), ms);
    child.on('exit', (_code, signal) => {
      clearTimeout(timer);
      resolve(signal === 'SIGKILL');
    });
  });
}

it(`killed at ${kills} moments, no number is without its file, no file without its number, none half written`, async () => {
  const papers = path.join(shop, 'papers');
  mkdirSync(papers);
  let killed = 0;
  let number = 0;
  for (let round = 0; round < kills; round++) {
    // Rounds of reissues once all certificates are out, so that there is always something to do.
    const ready = number >= tests && round > tests;
    const args = ready
      ? [
          'certificate',
          '--reissue',
          newest(),
          '--reason',
          `round ${round}`,
          '-o',
          path.join(papers, `r${round}.pdf`),
          '--signer',
          'qa',
          '--passphrase-fd',
          '3',
        ]
      : ['certificate', '--work-order', 'WO-2207', '-o', papers];
    if (await killedAfter(500 + ((round * 397) % 1400), ...args, '--shop', shop)) killed++;
    number = issued().length;
  }
  expect(killed).toBeGreaterThan(kills / 4);
  await dwellmark('certificate', '--work-order', 'WO-2207', '-o', papers, '--shop', shop);
  await dwellmark('certificate', '--work-order', 'WO-2207', '-o', papers, '--shop', shop);
  const files = readdirSync(papers);
  expect(files.filter((name) => !name.endsWith('.pdf'))).toEqual([]);
  const sums = new Map(files.map((name) => [sha256Hex(readFileSync(path.join(papers, name))), name]));
  const certificates = issued();
  expect(certificates.map(({ pdfSha256 }) => sums.has(pdfSha256))).toEqual(certificates.map(() => true));
  expect(sums.size).toBe(certificates.length);
  for (const { replacedBy, voided } of certificates) expect(voided !== null).toBe(replacedBy !== null);
  expect((await dwellmark('verify', '--all', '--shop', shop)).code).toBe(0);
}, 240_000);

function issued() {
  const store = openStore(path.join(shop, 'record.db'), { mode: 'read' });
  try {
    return store.certificates();
  } finally {
    store.close();
  }
}

const newest = (): string => issued().findLast(({ replacedBy }) => replacedBy === null)?.number ?? '';
