import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { mutations } from './list.js';

/**
 * Breaks one line at a time in a copy of the project, and runs nothing but tests/external on it: `npm run mutations`,
 * or some of them, `npm run mutations -- fluid silence`. What the fast tests let pass is put to the slow ones. Exit
 * code 1 when more than three survive, or one does that is not explained.
 */
const home = resolve(import.meta.dirname, '../../..');
const copy = mkdtempSync(join(tmpdir(), 'dwellmark-mutations-'));
const mayBeExplained = 3;
/** A test that a busy machine holds up must not count as one that tells. */
const patience = ['--testTimeout', '600000', '--hookTimeout', '600000'];
for (const part of [
  'src',
  'drivers',
  'tests',
  'templates',
  'sample-logs',
  'package.json',
  'vitest.config.ts',
  'tsconfig.json',
])
  cpSync(join(home, part), join(copy, part), { recursive: true });
symlinkSync(join(home, 'node_modules'), join(copy, 'node_modules'));
process.on('exit', () => rmSync(copy, { recursive: true, force: true }));
process.on('SIGINT', () => process.exit(130));

/** The name of the first test that fails, or null when all pass. */
function firstFailure(suite: 'fast' | 'slow'): string | null {
  const env = { ...process.env, DWELLMARK_SUITE: suite, NO_COLOR: '1' };
  const args = [join(home, 'node_modules/vitest/vitest.mjs'), 'run', 'tests/external', '--bail', '1', ...patience];
  const run = spawnSync(process.execPath, args, { cwd: copy, env, encoding: 'utf8', maxBuffer: 1 << 26 });
  if (run.status === 0) return null;
  return /FAIL\s+tests\/external\/(.*)/.exec(run.stderr + run.stdout)?.[1] ?? 'a test file that does not run';
}

for (const suite of ['fast', 'slow'] as const) {
  const broken = firstFailure(suite);
  if (broken === null) continue;
  process.stderr.write(`The ${suite} tests fail without any mutation: ${broken}\n`);
  process.exit(2);
}

const wanted = process.argv.slice(2);
const chosen = mutations.filter(({ what }) => wanted.length === 0 || wanted.some((word) => what.includes(word)));
let [killed, unexplained] = [0, 0];
for (const { what, file, find, put, survives } of chosen) {
  const path = join(copy, file);
  const text = readFileSync(path, 'utf8');
  if (text.split(find).length !== 2) {
    process.stderr.write(`${what}: ${file} must have this text exactly once, correct the list: ${find}\n`);
    process.exit(2);
  }
  writeFileSync(path, text.replace(find, put));
  const by = firstFailure('fast') ?? firstFailure('slow');
  writeFileSync(path, text);
  if (by !== null) killed += 1;
  else if (survives === undefined) unexplained += 1;
  process.stdout.write(`${by === null ? 'SURVIVES' : 'killed  '}  ${what}: ${by ?? survives ?? 'not explained'}\n`);
}
process.stdout.write(`${killed} of ${chosen.length} killed by tests/external alone\n`);
process.exitCode = unexplained > 0 || chosen.length - killed > mayBeExplained ? 1 : 0;
