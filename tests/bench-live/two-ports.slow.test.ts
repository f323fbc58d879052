import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import type { SentLine } from '../../drivers/simulated/index.js';
import { atTheBench } from './at-the-bench.js';
import { runProgram, type TmuxTerminal, until, withStore } from './bench-process.js';
import { openQuickBench, type QuickBench } from './quick-bench.js';

let folder = '';
let bench: QuickBench | undefined;
let terminal: TmuxTerminal | undefined;

afterEach(async () => {
  terminal?.close();
  await bench?.close();
  rmSync(folder, { recursive: true, force: true });
});

async function begin(size: { columns: number; rows: number }, env?: string): Promise<[TmuxTerminal, QuickBench]> {
  folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-bench-'));
  bench = await openQuickBench(folder, { dwellS: 10, attended: true, ports: ['A', 'B'] });
  terminal = await atTheBench({ job: bench.job, folder, size, ...(env === undefined ? {} : { env }) });
  return [terminal, bench];
}

describe('a whole test at the bench, by keys only', () => {
  it('two ports with an observation, an early look from elsewhere, a repeat; sealed, and verified', async () => {
    const [screen, hand] = await begin({ columns: 80, rows: 24 });
    const pass = async (port: 'A' | 'B') => {
      screen.keys('Enter');
      await screen.shows('Raise the pressure to 60.0 bar');
      await until('the hands are free', () => ['vented', 'done'].includes(hand.gauge.hand.phase));
      hand.gauge.operate({ kind: 'begin', port });
      await screen.shows(' RAMP ');
      await screen.shows(' DWELL ');
      screen.keys('o');
      await screen.shows('13  bench line or fitting');
      screen.type('13');
      await screen.shows('film: wet');
      screen.type('2');
      await screen.shows('film');
      await screen.shows('The time is over.');
      screen.keys('i');
      await screen.shows('Every point has been looked at');
      screen.type('y');
      await screen.shows('BLEED-DOWN');
      hand.gauge.operate({ kind: 'release' });
    };
    await pass('A');
    await screen.shows('vent both ports first');
    await pass('B');
    await screen.shows('all ports done');
    const [pid] = screen.processes();
    expect(pid).toBeGreaterThan(0);
    screen.keys('r');
    await screen.shows('Which port?');
    screen.type('1');
    await screen.shows('What was it?');
    screen.type('1');
    await screen.shows('Why is it repeated?');
    screen.type('1');
    await screen.shows('Enter when it is written');
    screen.type('hose was loose');
    screen.keys('Enter');
    screen.type('y');
    await screen.shows('attempt 2 of');
    screen.keys('s');
    await screen.shows('Why? What was recorded stands');
    screen.type('1');
    await screen.shows('Enter when it is written');
    screen.type('that will do');
    screen.keys('Enter');
    screen.type('y');
    await screen.shows(/left with \d/);
    const [test] = withStore(folder, (store) => store.tests());
    expect(test).toMatchObject({
      test: expect.stringMatching(/^T-\d{4}-0001$/),
      technician: 'R. Sand',
      origin: 'simulated',
    });
    const { result } = withStore(folder, (store) => store.test(test?.test ?? ''));
    expect(result?.ports[0]?.earlierAttempts[0]).toMatchObject({ port: 'A', verdict: 'pass', attempt: 1 });
    expect(result?.ports[1]).toMatchObject({ port: 'B', verdict: 'pass' });
    expect(result?.ports[1]?.observations).toEqual([{ point: 'bench line or fitting', amount: 'film' }]);
    const sent = new Set((await closed(hand)).map(({ reading }) => reading.pressurePa));
    const stored = withStore(folder, (store) => [...store.trace(test?.test ?? '')]);
    expect(stored.length).toBeGreaterThan(500);
    expect(stored.filter(({ pressurePa }) => !sent.has(pressurePa))).toEqual([]);
    expect(await runProgram(['verify', '--all', '--shop', folder])).toMatchObject({ code: 0 });
  });

  it.each([
    [{ columns: 80, rows: 24 }, 'NO_COLOR=1 LC_ALL=C'],
    [{ columns: 120, rows: 40 }, 'LC_ALL=C.UTF-8'],
    [{ columns: 200, rows: 50 }, 'LC_ALL=C.UTF-8'],
  ])('at %o with %s: nothing cut, nothing cleared, and it follows a change of size', async (size, env) => {
    const [screen, hand] = await begin(size, env);
    screen.keys('Enter');
    await screen.shows('Raise the pressure to 60.0 bar');
    hand.gauge.operate({ kind: 'begin', port: 'A' });
    const ramp = await screen.shows(' RAMP ');
    expect(ramp).toContain('never above');
    screen.record(path.join(folder, 'drawn'));
    await screen.shows(' DWELL ');
    const sent = readFileSync(path.join(folder, 'drawn'), 'latin1');
    const redraws = sent.split('\u001b[?2026h').length - 1;
    const cleared = sent.split('\u001b[2J').length - 1;
    expect(redraws).toBeGreaterThan(1);
    expect(cleared).toBe(0);
    const dwell = screen.screen().split('\n');
    expect(dwell.at(-2) ?? '').toContain('s stop');
    if (env.includes('NO_COLOR')) {
      // biome-ignore lint/suspicious/noControlCharactersInRegex: escape sequences are what is looked for
      expect(screen.painted()).not.toMatch(/\u001b\[(?:\d+;)*[34][0-8]m/);
      expect(screen.screen()).toMatch(/^[\x20-\x7e\n]*$/);
    }
    screen.resize(100, 30);
    await screen.shows(/i inspected/);
    expect(screen.screen().split('\n').length).toBeLessThanOrEqual(31);
    screen.keys('C-c');
    await screen.shows('Stop the test');
    screen.keys('Escape');
    await until('dialogue closed', () => !screen.screen().includes('Stop the test'));
    screen.close();
    await until('sealed', () => withStore(folder, (store) => store.tests()[0]?.verdict !== null), 15_000);
    expect(withStore(folder, (store) => store.tests()[0])).toMatchObject({ verdict: 'inconclusive' });
  });
});

/** Every line that the gauge has sent, once it is silent. */
async function closed(hand: QuickBench): Promise<readonly SentLine[]> {
  await hand.gauge.close();
  return hand.sent;
}
