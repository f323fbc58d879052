/**
 * Prints how long one certificate takes cold (a fresh process of the built program, its modules loaded within the
 * time) beside a bare script that draws the same charts and a table, and how long each of 200 takes in one process.
 * Run: npm run build && npx tsx tests/bench/certificate.bench.ts
 */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { loadavg } from 'node:os';
import path from 'node:path';
import { serialize } from 'node:v8';
import { transformSync } from 'esbuild';
import { samplePass } from '../certificate/sample-content.js';
import type { Timing } from './certificate-child.js';

const repeats = 5;
const many = 200;
const root = path.resolve(import.meta.dirname, '../..');
const built = path.join(root, 'dist/src');
const folder = path.join(root, 'dist/bench');

if (!existsSync(path.join(built, 'certificate/index.js'))) throw new Error('build first: npm run build');
mkdirSync(folder, { recursive: true });
try {
  compare();
} finally {
  rmSync(folder, { recursive: true });
}

function compare(): void {
  const input = samplePass();
  const inputFile = path.join(folder, 'input.bin');
  writeFileSync(inputFile, serialize({ ...input, trace: [...input.trace] }));
  const child = plainScript('certificate-child');
  const bareFile = plainScript('bare-chart-pdf');
  const run = (side: string, times = 1): Timing =>
    JSON.parse(
      execFileSync(process.execPath, [child, side, inputFile, built, bareFile, String(times)], { encoding: 'utf8' }),
    ) as Timing;
  const runs = Array.from({ length: repeats }, () => ({ ours: run('ours'), bare: run('bare') }));
  const middle = (side: 'ours' | 'bare', of: 'wallMs' | 'cpuMs'): number =>
    runs.map((pair) => pair[side][of]).toSorted((a, b) => a - b)[repeats >> 1] ?? Number.NaN;
  for (const side of ['ours', 'bare'] as const)
    line(
      side === 'ours' ? 'one certificate, cold' : 'bare chart and table, cold',
      `${middle(side, 'wallMs').toFixed(0)} ms`,
      `cpu ${middle(side, 'cpuMs').toFixed(0)} ms`,
      `${runs[0]?.[side].bytes} bytes`,
    );
  const ratio = (of: 'wallMs' | 'cpuMs'): string => (middle('ours', of) / middle('bare', of)).toFixed(2);
  line('ratio', ratio('wallMs'), `cpu ${ratio('cpuMs')}`, 'aim 1.5');
  const each = run('many', many);
  line(
    `${many} in one process, each`,
    `${(each.wallMs / many).toFixed(1)} ms`,
    `cpu ${(each.cpuMs / many).toFixed(1)} ms`,
    'aim 60 ms',
  );
  line('load of the machine', loadavg()[0]?.toFixed(1) ?? '');
}

/** A script of this folder as plain JavaScript beside the built program, so that no loader stands in its time. */
function plainScript(name: string): string {
  const source = readFileSync(path.join(import.meta.dirname, `${name}.ts`), 'utf8');
  const file = path.join(folder, `${name}.mjs`);
  writeFileSync(file, transformSync(source, { loader: 'ts', format: 'esm', target: 'es2023' }).code);
  return file;
}

function line(...cells: readonly string[]): void {
  process.stdout.write(`${cells.map((cell, index) => cell.padEnd(index === 0 ? 30 : 14)).join('')}\n`);
}
