import { spawnSync } from 'node:child_process';
import path from 'node:path';

/** Time to `dwellmark --help` beside `node -e 0`, alternating in one run, medians. Needs a build. */
const main = path.resolve(import.meta.dirname, '../../dist/src/cli/main.js');
const rounds = 25;

function milliseconds(args: readonly string[]): number {
  const started = performance.now();
  const { status } = spawnSync(process.execPath, args, { stdio: 'ignore' });
  if (status !== 0) throw new Error(`node ${args.join(' ')} ended with ${status}`);
  return performance.now() - started;
}

const bare: number[] = [];
const help: number[] = [];
for (let i = 0; i < rounds; i++) {
  bare.push(milliseconds(['-e', '0']));
  help.push(milliseconds([main, '--help']));
}
const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;
const [bareMs, helpMs] = [median(bare), median(help)];
console.error('start-up, medians of', rounds);
console.error(`  node -e 0         ${bareMs.toFixed(0)} ms`);
console.error(`  dwellmark --help  ${helpMs.toFixed(0)} ms`);
console.error(`  ratio             ${(helpMs / bareMs).toFixed(2)} (wanted: at most 1.5)`);
