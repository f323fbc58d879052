import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import { verifyTest } from '../../src/audit/index.js';
import { closeCutOff, cutOffTests, judgementOf, judgeStored, readShop, resumeLive } from '../../src/bench/index.js';
import type { Reading } from '../../src/gauge/index.js';
import type { PhaseName } from '../../src/holdtest/index.js';
import { openStore, type Store } from '../../src/record/index.js';
import { acting } from '../kills/acting-process.js';
import { atTheBench } from './at-the-bench.js';
import { runProgram, startProgram, until, withStore } from './bench-process.js';
import { openQuickBench, type QuickBench } from './quick-bench.js';

/** How many times the program is killed, in how many shops at once, and where in the sequence of moments to begin. */
const kills = Number(process.env.DWELLMARK_KILLS ?? 12);
const lanes = Number(process.env.DWELLMARK_KILL_LANES ?? 4);
const from = Number(process.env.DWELLMARK_KILLS_FROM ?? 0);

type Way = 'SIGKILL' | 'SIGHUP' | 'SIGTERM' | 'closed terminal';
/** DWELLMARK_KILL_WAYS=SIGKILL for the hardest alone. */
const ways = (process.env.DWELLMARK_KILL_WAYS ?? 'SIGKILL,SIGHUP,SIGTERM,closed terminal').split(',') as Way[];
/** From the vented gauge to the end of the dwell, with some of the bleed-down, s. */
const wholeTestS = 30;

/** The same moment each time for the same round, s after the test began (multiplicative hash of the round). */
const momentS = (round: number): number => 0.2 + wholeTestS * ((((round + 1) * 2654435761) % 2 ** 32) / 2 ** 32);

interface Struck {
  readonly way: Way;
  readonly phase: PhaseName;
  readonly end: 'sealed by itself' | 'resumed' | 'closed';
  /** Lines that the gauge had sent and the record has not got. */
  readonly unstored: number;
}

const writing = <T>(folder: string, work: (store: Store) => T): T => {
  const store = openStore(path.join(folder, 'record.db'), { mode: 'write' });
  try {
    return work(store);
  } finally {
    store.close();
  }
};

const runningTest = (folder: string): string => {
  try {
    return withStore(folder, (store) => store.unfinished().findLast(({ origin }) => origin !== 'imported')?.test ?? '');
  } catch {
    return '';
  }
};

/** Starts a test, lets it run to the moment, ends it that way. What another process read just before counts as acknowledged. */
async function strike(folder: string, bench: QuickBench, way: Way, afterS: number): Promise<[string, Reading[]]> {
  const acknowledgedOf = (test: string) => withStore(folder, (store) => [...store.trace(test)]);
  const stored = (test: string) => until('a reading is stored', () => acknowledgedOf(test).length > 0);
  if (way === 'closed terminal') {
    const exitFile = path.join(folder, `${bench.device.replaceAll('/', '-')}.exit`);
    const terminal = await atTheBench({ job: bench.job, folder, exitFile });
    const test = runningTest(folder);
    const [pid] = terminal.processes();
    terminal.keys('Enter');
    await sleep(Math.min(afterS, 1.6) * 1000);
    bench.gauge.operate({ kind: 'begin', port: 'A' });
    await sleep(Math.max(0, afterS - 1.6) * 1000);
    const acknowledged = acknowledgedOf(test);
    terminal.close();
    // A terminal that closes hangs up more than once, and no such signal may cut the sealing short.
    await until('the program is gone', () => {
      if (!alive(pid)) return true;
      if (pid !== undefined && !isSealed(folder, test)) process.kill(pid, 'SIGHUP');
      return false;
    });
    await until('its exit code is known', () => existsSync(exitFile) && readFileSync(exitFile, 'utf8') !== '');
    // It has left by itself, with the code of a verdict: neither by a signal nor by an abort.
    expect(['0\n', '1\n', '3\n'], test).toContain(readFileSync(exitFile, 'utf8'));
    rmSync(exitFile);
    return [test, acknowledged];
  }
  const { child, said } = startProgram(['test', bench.job, '--shop', folder, '--unattended']);
  const gone = new Promise((resolve) => child.on('close', resolve));
  await until('the test has begun', () => /T-\d{4}-\d{4}: /.test(said()));
  const test = /T-\d{4}-\d{4}/.exec(said())?.[0] ?? '';
  await stored(test);
  await sleep(afterS * 1000);
  const acknowledged = acknowledgedOf(test);
  child.kill(way);
  await gone;
  return [test, acknowledged];
}

/** A process that has ended and that nobody has asked after yet is not alive. */
function alive(pid: number | undefined): boolean {
  try {
    return !/^\d+ \(.*\) Z/.test(readFileSync(`/proc/${pid}/stat`, 'utf8'));
  } catch {
    return false;
  }
}

const isSealed = (folder: string, test: string): boolean =>
  withStore(folder, (store) => !store.unfinished().some((line) => line.test === test));

/** The phase that the record stood in when the program was ended. */
const struckIn = (folder: string, test: string): PhaseName =>
  withStore(folder, (store) => {
    const judgement = judgementOf(store.test(test).header);
    for (const input of store.inputs(test)) if (input.kind !== 'end') judgement.add(input);
    return judgement.state.phase.name;
  });

/** Takes a cut-off test up again where that is honest and `wanted`, and ends it; else closes it. */
async function settle(folder: string, test: string, wanted: boolean): Promise<'resumed' | 'closed'> {
  const found = writing(folder, cutOffTests).find(({ header }) => header.test === test);
  if (!found?.mayGoOn || !wanted) {
    writing(folder, (store) => closeCutOff(store, readShop(path.join(folder, 'dwellmark.toml')), test));
    return 'closed';
  }
  const again = await openQuickBench(folder, { dwellS: 4, attended: true, ports: ['A'], ratePerS: 50 });
  const shop = readShop(path.join(folder, 'dwellmark.toml'));
  const resumed = await resumeLive(test, shop, { tell: () => {}, endWhenDone: true, giveUpAfterS: 5 });
  const run = resumed.live.run();
  await sleep(500);
  resumed.live.end('stopped');
  await run;
  resumed.seal();
  resumed.close();
  await again.close();
  return 'resumed';
}

async function round(folder: string, number: number): Promise<Struck> {
  const way = ways[number % ways.length] ?? 'SIGKILL';
  const attended = way === 'closed terminal';
  const bench = await openQuickBench(folder, { dwellS: 4, attended, ports: ['A'], ratePerS: 50 });
  const [test, acknowledged] = await strike(folder, bench, way, momentS(number));
  await bench.gauge.close();
  const sent = await bench.sent;
  bench.pair.close();
  const stored = withStore(folder, (store) => [...store.trace(test)]);
  if (way !== 'closed terminal') expect(acknowledged.length, `${test}, ${way}`).toBeGreaterThan(0);
  expect(stored.slice(0, acknowledged.length), `${test}, ${way}`).toEqual(acknowledged);
  const lastPa = stored.at(-1)?.pressurePa;
  const unstored = sent.length - sent.findLastIndex(({ reading }) => reading.pressurePa === lastPa) - 1;
  const phase = struckIn(folder, test);
  const cutOff = !isSealed(folder, test);
  // What may still do something seals; what was over before it was killed has been sealed.
  expect(cutOff, `${test}, ${way}`).toBe(way === 'SIGKILL' && phase !== 'done');
  const end = cutOff ? await settle(folder, test, number % 8 === 0) : 'sealed by itself';
  expect(isSealed(folder, test)).toBe(true);
  return withStore(folder, (store) => {
    expect(verifyTest(store, test, judgeStored).problems, `${test}, ${way}`).toEqual([]);
    const after = [...store.trace(test)];
    expect(after.slice(0, stored.length), `${test}, ${way}`).toEqual(stored);
    return { way, phase, end, unstored: stored.length === 0 ? 0 : unstored };
  });
}

async function lane(first: number): Promise<Struck[]> {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-kill-'));
  try {
    const struck: Struck[] = [];
    writeFileSync(path.join(folder, 'dwellmark.toml'), 'name = "Harrow Fell Hydraulics"\n');
    const beside = acting('import', folder, '', 3000);
    await beside.acknowledged;
    for (let number = first; number < kills; number += lanes) struck.push(await round(folder, from + number));
    beside.process.kill('SIGKILL');
    await beside.ended;
    withStore(folder, (store) => {
      const imported = new Set(beside.acts().map(({ test }) => String(test)));
      for (const test of imported) expect(store.test(test).head, test).not.toBe(null);
      expect(store.tests().filter(({ origin }) => origin !== 'imported')).toHaveLength(struck.length);
    });
    // The installed program verifies: it judges each test again by the very evaluation that judged it.
    expect(await runProgram(['verify', '--all', '--shop', folder])).toMatchObject({ code: 0 });
    return struck;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const counted = (words: readonly string[]): string =>
  [...new Set(words)].map((word) => `${words.filter((one) => one === word).length} ${word}`).join(', ');

describe('a test killed in the middle', () => {
  it(`${kills} times at odd moments: every acknowledged reading stands, the record verifies, it can be ended or goes on`, async () => {
    const all = await Promise.all(Array.from({ length: lanes }, (_, first) => lane(first)));
    const struck = all.flat();
    expect(struck).toHaveLength(kills);
    process.stderr.write(
      `${kills} kills: ${counted(struck.map(({ way }) => way))}; in ${counted(struck.map(({ phase }) => phase))}; ` +
        `${counted(struck.map(({ end }) => end))}; at most ${Math.max(...struck.map(({ unstored }) => unstored))} lines ` +
        'sent and not stored, at 50 a second\n',
    );
  });
});
