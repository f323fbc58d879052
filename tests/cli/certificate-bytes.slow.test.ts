import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { verifyPdf } from '../../src/audit/index.js';
import { chance } from '../procedure/seeded.js';
import { withByte } from '../signing/sample-document.js';
import { dwellmark } from './command-line.js';

/** Bytes changed anywhere in the file, and as many again in its signature; 1,000 with DWELLMARK_PAPER_BYTES=1000. */
const changes = Number(process.env.DWELLMARK_PAPER_BYTES ?? 150);
const logs = path.resolve(import.meta.dirname, '../../sample-logs');
const shop = mkdtempSync(path.join(tmpdir(), 'dwellmark-bytes-'));
let paper = Buffer.alloc(0);
let root = '';

beforeAll(async () => {
  const run = async (...args: readonly string[]) =>
    expect(await dwellmark(...args, '--shop', shop)).toMatchObject({ code: 0 });
  await run('init', '--yes', '--name', 'Harrow Fell Hydraulics');
  const settings = path.join(shop, 'dwellmark.toml');
  writeFileSync(settings, readFileSync(settings, 'utf8').replace(/^required = .*$/m, 'required = []'));
  await run('import', path.join(logs, 'tight.csv'), '--job', path.join(logs, 'tight.job.toml'), '--port', 'A');
  await run('certificate', 'T-2026-0001', '-o', path.join(shop, 'paper.pdf'));
  await run('certificate', '--root', path.join(shop, 'root-copy.pem'));
  paper = readFileSync(path.join(shop, 'paper.pdf'));
  root = readFileSync(path.join(shop, 'root-copy.pem'), 'utf8');
}, 60_000);

afterAll(() => rmSync(shop, { recursive: true, force: true }));

/** As `dwellmark verify` asks it of the file; judging the trace again comes on top and can only find more. */
const found = async (pdf: Buffer): Promise<boolean> => (await verifyPdf(pdf, null, root)).problems.length > 0;

it(`an issued certificate as it is has nothing wrong; each of ${changes} changed bytes is found`, async () => {
  expect(await found(paper)).toBe(false);
  expect(await missedOf(0, paper.length)).toEqual([]);
});

it(`each of ${changes} changed bytes of its signature is found`, async () => {
  const start = paper.indexOf('/Contents <');
  expect(start).toBeGreaterThan(0);
  expect(await missedOf(start, paper.indexOf('>', start) + 1)).toEqual([]);
});

async function missedOf(from: number, to: number): Promise<readonly string[]> {
  const { uniform } = chance(20260314);
  const missed: string[] = [];
  for (let count = 0; count < changes; count++) {
    const at = from + Math.floor(uniform() * (to - from));
    const value = ((paper[at] ?? 0) + 1 + Math.floor(uniform() * 255)) & 0xff;
    if (!(await found(withByte(paper, at, value)))) missed.push(`byte ${at}: ${paper[at]} to ${value}`);
  }
  return missed;
}
