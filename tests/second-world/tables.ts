import { fork } from 'node:child_process';
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import { type Cell, cells } from './cells/index.js';
import { type BoundSeen, counted, judgeBound, judgeTogether } from './tally.js';
import type { Trial } from './trial.js';
import type { Work } from './worker.js';

export interface Asked {
  readonly holds: number;
  readonly seed: number;
  /** Only cells whose group and name match. */
  readonly only: RegExp;
}

type Print = (line: string) => void;

/** Runs the cells and prints them group by group. Returns how many bounds were not met. */
export async function printSecondWorld(asked: Asked, print: Print): Promise<number> {
  const chosen = cells.filter(({ group, name }) => asked.only.test(`${group}: ${name}`));
  print(`Second world: ${asked.holds} holds a cell, seed ${asked.seed}`);
  print(
    'cov: share of stated bands that hold the true loss by leak (oil lost x K/V); cov2: that hold the fall it made,',
  );
  print(
    'with the cold of its expansion. U, true: medians, in allowed drops. start, end: medians, s from shut-in. p5, p10:',
  );
  print('passed, and the dwell was over within 5 or 10 min from shut-in.');
  let group = '';
  let outside = 0;
  const all: Trial[] = [];
  const together = new Map<string, BoundSeen[]>();
  for (const cell of chosen) {
    if (cell.group !== group) {
      group = cell.group;
      print('');
      print(row(group, 'pass', 'fail', 'inc', 'inv', 'cov', 'cov2', 'U', 'true', 'start', 'end', 'p5', 'p10'));
    }
    const trials = await runCell(cell, asked);
    if (cell.bounds.some(({ count }) => count === 'covered')) all.push(...trials);
    const bounds = cell.bounds.map((bound) => judgeBound(bound, trials));
    for (const one of bounds) {
      const key = JSON.stringify(one.bound);
      together.set(key, [...(together.get(key) ?? []), one]);
    }
    const missed = bounds.filter(({ within }) => !within);
    outside += missed.length;
    print(`${figures(cell, trials)}  ${missed.length === 0 ? 'within' : `OUTSIDE: ${missed.map(said).join('; ')}`}`);
  }
  print('');
  print('Each bound: cells that keep it, and all their holds together');
  for (const seen of together.values()) {
    const pooled = judgeTogether(seen);
    if (pooled) print(`  ${seen.filter(({ within }) => within).length} of ${seen.length} cells; ${said(pooled)}`);
  }
  const overall = judgeBound({ count: 'covered', atLeast: 0.93, atMost: 0.97 }, all);
  if (!overall.within) outside += 1;
  print('');
  print(`Over all: ${said(overall)}${overall.within ? ', within' : ', OUTSIDE'}`);
  print(`${outside} bounds of ${chosen.length} cells not met`);
  endWorkers();
  return outside;
}

const widths = [54, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6];
const row = (...texts: readonly string[]): string =>
  texts.map((text, i) => (i === 0 ? text.padEnd(widths[0] ?? 0) : text.padStart(widths[i] ?? 0))).join('');

function figures(cell: Cell, trials: readonly Trial[]): string {
  const share = (test: (trial: Trial) => boolean): string =>
    ((100 * trials.filter(test).length) / trials.length).toFixed(1);
  const middle = (of: (trial: Trial) => number | null, decimals: number): string => {
    const values = trials.map(of).filter((one) => one !== null);
    values.sort((a, b) => a - b);
    return values[Math.floor(values.length / 2)]?.toFixed(decimals) ?? '-';
  };
  const covered = counted('covered', trials);
  const ofFall = trials.filter(
    (t) => t.verdict !== 'invalid' && t.errorOfFall !== null && Math.abs(t.errorOfFall) <= 1,
  );
  return row(
    `  ${cell.name}`,
    share(({ verdict }) => verdict === 'pass'),
    share(({ verdict }) => verdict === 'fail'),
    share(({ verdict }) => verdict === 'inconclusive'),
    share(({ verdict }) => verdict === 'invalid'),
    covered.of === 0 ? '-' : ((100 * covered.found) / covered.of).toFixed(1),
    covered.of === 0 ? '-' : ((100 * ofFall.length) / covered.of).toFixed(1),
    middle(({ uShare }) => uShare, 2),
    middle(({ trueShare }) => trueShare, 2),
    middle(({ startAfterS }) => startAfterS, 0),
    middle(({ endAfterS }) => endAfterS, 0),
    share((t) => t.verdict === 'pass' && (t.endAfterS ?? 1e9) <= 301),
    share((t) => t.verdict === 'pass' && (t.endAfterS ?? 1e9) <= 601),
  );
}

const percent = (share: number): string => `${Number((share * 100).toFixed(1))} %`;

export function said({ bound, found, of, chance, within }: BoundSeen): string {
  const wanted = [
    bound.atLeast === undefined ? '' : `at least ${percent(bound.atLeast)}`,
    bound.atMost === undefined ? '' : `at most ${percent(bound.atMost)}`,
  ].filter((text) => text !== '');
  const perhaps = !within && chance > 1e-3 ? ', could be chance' : '';
  return `${bound.count} ${of === 0 ? '-' : percent(found / of)} of ${of} (${wanted.join(', ')}${perhaps})`;
}

const workers: ReturnType<typeof fork>[] = [];

/** The holds of a cell on all cores: each process takes every n-th. Seeds don't depend on how many there are. */
export async function runCell(cell: Cell, { holds, seed }: Pick<Asked, 'holds' | 'seed'>): Promise<Trial[]> {
  const index = cells.indexOf(cell);
  const file = fileURLToPath(new URL('./worker.ts', import.meta.url));
  while (workers.length < Math.max(1, availableParallelism()))
    workers.push(fork(file, { execArgv: ['--import', 'tsx'] }));
  const parts = await Promise.all(
    workers.map(
      (worker, at) =>
        new Promise<Trial[]>((resolve, reject) => {
          worker.once('message', (trials: Trial[]) => {
            worker.off('exit', reject);
            resolve(trials);
          });
          worker.once('exit', reject);
          worker.send({ index, from: at, every: workers.length, holds, seed } satisfies Work);
        }),
    ),
  );
  return parts.flat();
}

/** Lets the processes of {@link runCell} go. */
export function endWorkers(): void {
  for (const worker of workers.splice(0)) {
    worker.removeAllListeners('exit');
    worker.disconnect();
  }
}
