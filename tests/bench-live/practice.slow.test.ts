import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { chance } from '../evaluation/trace-generator.js';
import { commandLine, runProgram, TmuxTerminal, withStore } from './bench-process.js';

const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-practice-'));
const terminals: TmuxTerminal[] = [];
afterAll(() => {
  for (const terminal of terminals) terminal.close();
  rmSync(folder, { recursive: true, force: true });
});

/** A terminal in the shop's folder. */
function terminal(...args: string[]): TmuxTerminal {
  const opened = new TmuxTerminal({ columns: 80, rows: 24 }, `sh -c "cd '${folder}' && exec ${commandLine(...args)}"`);
  terminals.push(opened);
  return opened;
}

async function answered(on: TmuxTerminal, answers: readonly (readonly [question: string, typed: string])[]) {
  for (const [question, typed] of answers) {
    await on.shows(new RegExp(`${question}[^\\n]*:\\s*$`));
    if (typed !== '') on.type(typed);
    on.keys('Enter');
  }
}

const seed = Number(process.env.DWELLMARK_SEED ?? Date.now() % 2 ** 31);

/** The keys under a left hand in a glove. */
const glove = [...'qwertasdfgzxcvb12345', 'Tab'];

/** So many of them, each seen to be taken; a question that one opens is left with Esc, as the screen says. */
async function gropedOn(bench: TmuxTerminal, source: { uniform(): number }, keys: number): Promise<string> {
  let pressed = '';
  for (let i = 0; i < keys; i++) {
    const key = glove[Math.floor(source.uniform() * glove.length)] ?? 'q';
    pressed += ` ${key}`;
    bench.keys(key);
    await new Promise((go) => setTimeout(go, 400));
    for (let tries = 0; /\bEsc\b/.test(await bench.look()) && tries < 5; tries++) {
      bench.keys('Escape');
      await new Promise((go) => setTimeout(go, 700));
    }
  }
  return pressed;
}

const passphrase = 'oil under the third bench';

it('from init to the certificate by keys alone, with a glove on the wrong keys in between', async () => {
  process.stderr.write(`practice with a glove: DWELLMARK_SEED=${seed}\n`);
  const source = chance(seed);
  const shop = terminal('init');
  await answered(shop, [
    ['Name of the shop', 'Harrow Fell Hydraulics'],
    ['Address', ''],
    ['Units', ''],
    ['Paper', ''],
    ['Printed name of the first signer', 'Tobias Wrenfield'],
    ['Passphrase', passphrase],
    ['once more', passphrase],
    ['Printed name of the administrator', ''],
  ]);
  await shop.shows('left with 0');

  const hand = terminal('gauge', 'simulate', 'tight', '--dwell', '30', '-o', '.');
  await hand.shows('Enter pumps up port A');
  expect(hand.screen()).not.toContain('passphrase');
  const bench = terminal('test', 'jobs/tight.toml');
  await bench.shows('Who tests?');
  bench.type('Mina Aldous');
  let page = await bench.shows('Mina Aldous');
  while (!page.includes('Connect port A')) {
    const before = page;
    bench.keys('Enter');
    while (page === before || page.trim() === '') page = await bench.look();
  }
  let groped = '';
  for (const port of ['A', 'B'] as const) {
    await bench.shows(port === 'A' ? 'Connect port A' : 'vent both ports first');
    groped += await gropedOn(bench, source, 4);
    bench.keys('Enter');
    await bench.shows('Raise the pressure');
    // The other port may still be bleeding down: then the bench says so, and Enter is asked for again.
    while (!(await hand.look()).includes(`pumping up port ${port}`)) {
      hand.keys('Enter');
      await new Promise((go) => setTimeout(go, 2000));
    }
    await bench.shows(' RAMP ');
    groped += await gropedOn(bench, source, 4);
    await bench.shows(' DWELL ', 240_000);
    groped += await gropedOn(bench, source, 6);
    await bench.shows('The time is over.', 240_000);
    bench.keys('i');
    await bench.shows('Every point has been looked at');
    bench.keys('y');
    await bench.shows('BLEED-DOWN');
    hand.keys('Enter');
    await hand.shows(`ending the hold of port ${port}`);
  }
  await bench.shows('all ports done', 120_000);
  bench.keys('Enter');
  await bench.shows('Finish it, and seal the record?');
  bench.keys('y');
  const end = await bench.shows(/left with \d/);
  process.stderr.write(`wrong keys:${groped}\n`);
  expect(end).toContain('left with 0');
  const [test] = withStore(folder, (store) => store.tests());
  expect(test).toMatchObject({ verdict: 'pass', technician: 'Mina Aldous', origin: 'simulated' });

  const desk = terminal('sign', test?.test ?? '');
  await answered(desk, [
    ['What does the signature mean', '1'],
    ['\\(y/n\\)', 'y'],
    ['Passphrase', passphrase],
  ]);
  await desk.shows('left with 0');
  const printer = terminal('certificate', test?.test ?? '');
  await printer.shows('left with 0');
  const papers = readdirSync(folder).filter((name) => name.endsWith('.pdf'));
  expect(papers).toHaveLength(1);
  const text = execFileSync('pdftotext', ['-layout', path.join(folder, papers[0] ?? ''), '-'], { encoding: 'utf8' });
  expect(text).toContain('Tobias Wrenfield');
  expect(text).toMatch(/simulated/i);
  expect(await runProgram(['verify', '--all', '--shop', folder])).toMatchObject({ code: 0 });
}, 900_000);
