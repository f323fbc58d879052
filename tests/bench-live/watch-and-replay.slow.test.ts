import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterEach, describe, expect, it } from 'vitest';
import { atTheBench } from './at-the-bench.js';
import { commandLine, runProgram, TmuxTerminal, until, withStore } from './bench-process.js';
import { openQuickBench, type QuickBench } from './quick-bench.js';

let folder = '';
let bench: QuickBench | undefined;
const terminals: TmuxTerminal[] = [];

afterEach(async () => {
  for (const terminal of terminals.splice(0)) terminal.close();
  await bench?.close();
  rmSync(folder, { recursive: true, force: true });
});

function open(...args: string[]): TmuxTerminal {
  const terminal = new TmuxTerminal({ columns: 100, rows: 30 }, commandLine(...args, '--shop', folder));
  terminals.push(terminal);
  return terminal;
}

/** What a terminal may be told: place, erase, alternate page, cursor, one update at once, weight and eight colours. */
const known =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: escape sequences are what is looked for
  /^\u001b\[(\d+;\d+H|K|2J|\?1049[hl]|\?25[hl]|\?2026[hl]|((0|1|2|4|7|3[0-7]|4[0-7])(;(1|3[0-7]|4[0-7]|7))*)?m)$/;

describe('a test followed from a second terminal', () => {
  it('is seen from its first reading to its end, and nothing can be touched', async () => {
    folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-watch-'));
    bench = await openQuickBench(folder, { dwellS: 12, attended: true, ports: ['A'] });
    const watch = open('watch');
    await watch.shows('No test is running; waiting for one to begin.');
    const hand = await atTheBench({ job: bench.job, folder });
    terminals.push(hand);
    const connect = await watch.shows('Connect port A');
    expect(connect).toContain('watching, read-only');
    expect(connect).toContain('q leave; the test goes on without you');
    hand.keys('Enter');
    await watch.shows('Raise the pressure to 60.0 bar');
    bench.gauge.operate({ kind: 'begin', port: 'A' });
    await watch.shows(' RAMP ');
    const dwell = await watch.shows(' DWELL ');
    expect(dwell).toContain('lowest allowed end');
    // Keys of the bench mean nothing here.
    watch.type('soien');
    watch.keys('Enter');
    await sleep(1500);
    expect(watch.screen()).not.toMatch(/Stop the test|Oil seen|Inspection/);
    expect(withStore(folder, (store) => store.unfinished())).toHaveLength(1);
    // Somebody who joins in the middle sees what came before; leaving ends nothing.
    const late = open('watch');
    await late.shows(' DWELL ');
    await late.shows('Dwell of 12 s begins');
    late.type('q');
    await late.shows('is not sealed yet.');
    hand.type('o');
    await hand.shows('gland O-ring');
    hand.type('24');
    await hand.shows('How many drops?');
    hand.type('3');
    hand.keys('Enter');
    await watch.shows('ALARM  Oil outside at the gland O-ring: drops (3 drops)');
    hand.type('a');
    await until('acknowledged there too', () => !watch.screen().includes('ALARM'));
    await hand.shows('The time is over.');
    hand.type('i');
    await hand.shows('Every point has been looked at');
    hand.type('y');
    await watch.shows('BLEED-DOWN');
    bench.gauge.operate({ kind: 'release' });
    await watch.shows('all ports done');
    hand.keys('Enter');
    await hand.shows('Finish it, and seal the record?');
    hand.type('1');
    await hand.shows('left with 1');
    const end = await watch.shows('left with 0');
    expect(end).toMatch(/Verdict: FAIL/i);
    // Whoever comes after the end reads the result.
    const [{ test = '' } = {}] = withStore(folder, (store) => store.tests());
    const after = await runProgram(['watch', test, '--shop', folder]);
    expect(after.code).toBe(0);
    expect(after.said).toMatch(/Verdict: FAIL/i);
  });
});

describe('a stored test on the screen again', () => {
  it('goes at any speed, stands, steps, jumps, judges beside; the verdict and the exit code are as in plain lines', async () => {
    folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-replay-'));
    bench = await openQuickBench(folder, { dwellS: 6, ventedS: 15, attended: false, ports: ['A'] });
    const ran = await runProgram(['test', bench.job, '--unattended', '--shop', folder]);
    expect(ran.code, ran.said).toBe(0);
    const [{ test = '' } = {}] = withStore(folder, (store) => store.tests());
    const stricter = path.join(folder, 'stricter.toml');
    const text = readFileSync(path.join(folder, 'quick-hold.toml'), 'utf8');
    writeFileSync(
      stricter,
      text.replace('id = "quick-hold"', 'id = "stricter"').replace('drop = "2 %"', 'drop = "0.01 bar"'),
    );
    const plain = await runProgram(['replay', test, '--procedure', stricter, '--shop', folder]);

    const screen = open('replay', test, '--procedure', stricter, '--speed', '2');
    screen.record(path.join(folder, 'drawn'));
    await screen.shows(/ 2 x {2}0:0\d of/);
    await screen.shows('Beside it, by stricter, revision 1; the original stands');
    screen.keys('Space');
    const standing = await screen.shows('STANDING');
    await sleep(700);
    expect(screen.screen()).toBe(standing);
    screen.type('?');
    await screen.shows('go to a phase or to a time');
    screen.keys('Enter');
    screen.keys('Home');
    await screen.shows(/ 0:00 of/);
    screen.keys('Right');
    await screen.shows('Zero taken');
    screen.type('g1');
    const phases = await screen.shows('Which phase of port A?');
    const dwell = /(\d+) +\d+:\d\d +dwell, proof/.exec(phases)?.[1] ?? '';
    screen.type(dwell);
    await screen.shows(' DWELL ');
    screen.keys('Space');
    await screen.shows(/CANNOT TELL YET|PASS LIKELY/);
    screen.keys('End');
    const end = await screen.shows('quick-hold, revision 1: the original');
    expect(end).toMatch(/Port A: {2}PASS[\s\S]*Port A: {2}(FAIL|INCONCLUSIVE)/);
    expect(end).toContain('Recomputed: the same as stored, to the last bit.');
    screen.keys('Left', 'Left');
    await screen.shows(' BLEED-DOWN');
    screen.type('q');
    await screen.shows(`left with ${plain.code}`);
    expect(plain.code).toBeGreaterThan(0);
    expect(plain.said).toContain('beside the original, which stands');
    const drawn = readFileSync(path.join(folder, 'drawn'), 'latin1');
    // biome-ignore lint/suspicious/noControlCharactersInRegex: escape sequences are what is looked for
    const sequences = [...new Set(drawn.match(/\u001b(\[[\d;?]*[ -/]*[@-~]|[^[])/g))];
    expect(sequences.length).toBeGreaterThan(10);
    expect(sequences.filter((one) => !known.test(one))).toEqual([]);
  });
});
