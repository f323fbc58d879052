import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { readJob } from '../../src/procedure/index.js';
import { commandLine, TmuxTerminal } from '../bench-live/bench-process.js';

const closing: (() => unknown)[] = [];
afterAll(() => {
  for (const close of closing.reverse()) close();
});

function shop(): string {
  const folder = mkdtempSync(path.join(tmpdir(), 'dwellmark-new-job-'));
  closing.push(() => rmSync(folder, { recursive: true, force: true }));
  writeFileSync(
    path.join(folder, 'dwellmark.toml'),
    'name = "Harrow Fell Hydraulics"\n[[gauge]]\nserial = "SN 1"\nrange = "0..400 bar"\nresolution = "0.1 bar"\naccuracy = "0.25 %FS"\n',
  );
  return folder;
}

const jobs = (folder: string): string[] =>
  existsSync(path.join(folder, 'jobs')) ? readdirSync(path.join(folder, 'jobs')) : [];

function asking(folder: string, ...args: readonly string[]): TmuxTerminal {
  const terminal = new TmuxTerminal({ columns: 100, rows: 100 }, commandLine('job', 'new', ...args, '--shop', folder));
  closing.push(() => terminal.close());
  return terminal;
}

/** Each answer is typed when its question waits, and not before. */
async function answer(terminal: TmuxTerminal, answers: readonly (readonly [question: string, typed: string])[]) {
  for (const [question, typed] of answers) {
    const asked = new RegExp(`${question}[^\\n]*:\\s*$`);
    await terminal.shows(asked);
    if (typed !== '') terminal.type(typed);
    terminal.keys('Enter');
  }
}

const first: readonly (readonly [string, string])[] = [
  ['Serial as stamped', 'LW-77'],
  ['Work order', '31'],
  ['Customer', 'Lower Weir Farm'],
  ['Why it is tested', ''],
  ['Condition as received', ''],
  ['Kind of cylinder', ''],
  ['Bore', '63'],
];
const rest: readonly (readonly [string, string])[] = [
  ['Stroke', '250'],
  ['Rated pressure', '160'],
  ['Oil \\[', ''],
  ['Procedure', ''],
  ['Ports to test', ''],
  ['How the piston stands', ''],
  ['Oil in hose', '.3'],
  ['Oil of one stroke', '9'],
  ['Flow of the pump', ''],
];

describe('a job is made at a terminal with figures and Enter', () => {
  it('asks again for what can not be, shows every answer, changes one by its number, and writes it', async () => {
    const folder = shop();
    const terminal = asking(folder);
    await answer(terminal, [...first, ['Rod', '64']]);
    expect(await terminal.shows("The measures can't be: the rod is not thinner than the bore")).toContain('Rod (mm)');
    await answer(terminal, [['Rod \\(mm\\)', '3x']]);
    await terminal.shows('has the unit "x"');
    await answer(terminal, [['Rod \\(mm\\)', '36'], ...rest, ['Enter writes it', '99']]);
    await terminal.shows('Type a number from 0 to');
    const screen = terminal.screen();
    expect(screen).toMatch(/9 {2}Stroke +250 mm/);
    expect(jobs(folder)).toEqual([]);
    await answer(terminal, [
      ['Enter writes it', '9'],
      ['Stroke', '300'],
      ['Enter writes it', ''],
    ]);
    await terminal.shows('left with 0');
    const [name = ''] = jobs(folder);
    const file = path.join(folder, 'jobs', name);
    const job = readJob(readFileSync(file, 'utf8'), { file });
    expect(job.workOrder).toBe('31');
    expect([job.cylinder.boreM, job.cylinder.strokeM]).toEqual([expect.closeTo(0.063, 9), expect.closeTo(0.3, 9)]);
    expect(job.bench.boosterStrokeM3).toBeCloseTo(9e-6, 12);
    expect(job.ports.map(({ lineVolumeM3 }) => lineVolumeM3)).toEqual([
      expect.closeTo(3e-4, 9),
      expect.closeTo(3e-4, 9),
    ]);

    // The same cylinder again: three questions, and the rest is proposed.
    const again = asking(folder, 'LW-77');
    await answer(again, [
      ['Work order', '32'],
      ['Why it is tested', ''],
      ['Work done', 'resealed'],
      ['Enter writes it', ''],
    ]);
    await again.shows('left with 0');
    expect(jobs(folder)).toEqual(['31-LW-77-as-received.toml', '32-LW-77-after-repair.toml']);
  });

  it('leaves nothing behind when it is left: by 0, by Ctrl-C at any question, by a closed terminal', async () => {
    const folder = shop();
    const all = [...first, ['Rod \\(mm\\)', '36'] as const, ...rest];
    // One terminal a cut would take a minute: the questions are drawn, and the seed told.
    const seed = Date.now() % 1000;
    process.stdout.write(`Ctrl-C at questions: seed ${seed}\n`);
    for (const at of [0, 1 + (seed % (all.length - 1)), all.length]) {
      const terminal = asking(folder);
      await answer(terminal, all.slice(0, at));
      await terminal.shows(new RegExp(`${all[at]?.[0] ?? 'Enter writes it'}[^\\n]*:\\s*$`));
      terminal.keys('C-c');
      const screen = await terminal.shows(/left with \d+/);
      expect(screen).toMatch(/left at a question/);
      expect(screen).not.toContain('left with 0');
      expect(readdirSync(folder).sort()).toEqual(['dwellmark.toml']);
    }
    const left = asking(folder);
    await answer(left, [...all, ['Enter writes it', '0']]);
    await left.shows('left without writing the job');
    const closed = asking(folder);
    await answer(closed, [...all]);
    await closed.shows(/Enter writes it/);
    closed.close();
    expect(readdirSync(folder).sort()).toEqual(['dwellmark.toml']);
  });
});
