import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { runProgram, startProgram, until, withStore } from './bench-process.js';
import { openQuickBench } from './quick-bench.js';

/** How many times the program is killed; two hundred take about half an hour. */
const kills = Number(process.env.DWELLMARK_KILLS ?? 12);

/** The same sequence of moments each time. */
function* moments(): Generator<number> {
  let state = 20260314;
  for (;;) {
    state = (state * 1664525 + 1013904223) % 2 ** 32;
    yield 300 + (state / 2 ** 32) * 6000;
  }
}

describe('a test killed in the middle', () => {
  it(`${kills} times at odd moments: every acknowledged reading stands, the record verifies, closing works`, async () => {
    const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-kill-'));
    const after = moments();
    let [lost, mostUnstored] = [0, 0];
    try {
      for (let round = 0; round < kills; round++) {
        const bench = await openQuickBench(folder, { dwellS: 10, attended: false, ports: ['A'], ratePerS: 50 });
        const { child, said } = startProgram(['test', bench.job, '--shop', folder, '--unattended']);
        const gone = new Promise((resolve) => child.on('close', resolve));
        await until('the test has begun', () => /T-\d{4}-\d{4}: /.test(said()));
        await new Promise((go) => setTimeout(go, after.next().value ?? 1000));
        const test = /T-\d{4}-\d{4}/.exec(said())?.[0] ?? '';
        // What another process reads from the file counts as acknowledged.
        const acknowledged = withStore(folder, (store) => [...store.trace(test)].length);
        child.kill((['SIGKILL', 'SIGHUP', 'SIGTERM'] as const)[round % 3]);
        await gone;
        await bench.gauge.close();
        const sent = await bench.sent;
        bench.pair.close();
        const stored = withStore(folder, (store) => [...store.trace(test)]);
        if (stored.length < acknowledged) lost += 1;
        const unstored =
          sent.length - sent.findLastIndex(({ reading }) => reading.pressurePa === stored.at(-1)?.pressurePa) - 1;
        mostUnstored = Math.max(mostUnstored, stored.length === 0 ? 0 : unstored);
      }
      expect(lost).toBe(0);
      const cutOff = withStore(folder, (store) => store.unfinished().length);
      expect(cutOff).toBe(Math.ceil(kills / 3));
      const closed = await runProgram(['test', '--resume', '--unattended', '--shop', folder]);
      expect(closed.said.match(/closed as interrupted/g)).toHaveLength(cutOff);
      expect(closed.code).toBe(3);
      expect(withStore(folder, (store) => store.unfinished())).toEqual([]);
      expect(withStore(folder, (store) => store.tests().length)).toBe(kills);
      // The same program verifies: it judges each test again by the very evaluation that judged it.
      expect(await runProgram(['verify', '--all', '--shop', folder])).toMatchObject({ code: 0 });
      process.stderr.write(`${kills} kills: at most ${mostUnstored} lines sent and not stored, at 50 a second\n`);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
