import { beforeAll, describe, expect, it } from 'vitest';
import { benchScreen } from '../../../src/cli/screen/bench-screen.js';
import type { BenchView } from '../../../src/cli/screen/bench-view.js';
import { bigFigures } from '../../../src/cli/screen/big-figures.js';
import { lineWidth } from '../../../src/cli/screen/frame.js';
import { frameText, paintLine } from '../../../src/cli/screen/paint-line.js';
import { showTest } from './shown.js';

const unicode = { colour: true, unicode: true };
const sizes = [
  { columns: 80, rows: 24 },
  { columns: 120, rows: 40 },
  { columns: 200, rows: 50 },
];

/** The screen in the middle of each phase of port A, at the end, and with an alarm standing. */
const moments = new Map<string, BenchView>();
let alarmed: BenchView | undefined;

beforeAll(async () => {
  const count = new Map<string, number>();
  const end = await showTest({ leakMlPerMin: 0.03, dwellS: 20 }, ({ phase: name, view: seenNow, act }) => {
    const seen = (count.get(name) ?? 0) + 1;
    count.set(name, seen);
    if (seen === (name === 'dwell' ? 120 : 15)) moments.set(name, seenNow());
    if (name === 'dwell' && seen === 140) {
      act({ kind: 'observation', observation: { point: 'gland O-ring', amount: 'drops', drops: 3 } });
    }
    if (name === 'dwell' && seen === 141) alarmed = seenNow();
  });
  moments.set('done', end);
});

const text = (view: BenchView | undefined, size = { columns: 80, rows: 24 }): string => {
  if (!view) throw new Error('this moment never came');
  return frameText(benchScreen(view, size, unicode))
    .join('\n')
    .replaceAll('\u00a0', ' ');
};

describe('the screen at the bench', () => {
  it('shows no pressure and asks for nothing but care while the gauge is gone', () => {
    const dwell = moments.get('dwell');
    if (!dwell?.reading) throw new Error('no dwell');
    const shown = text({ ...dwell, silentS: 12.4 });
    expect(shown).toContain('gone 12 s');
    expect(shown).toContain('last seen');
    expect(shown).toContain('The cylinder may still be under pressure. No reading: open nothing.');
    expect(shown).not.toContain('Touch no valve. Look at every point');
    const bigSeen = bigFigures((dwell.reading.pressurePa ?? 0).toString(), 1)[0] ?? '';
    expect(shown).not.toContain(bigSeen);
    expect(shown).toContain((bigFigures('---', 1)[2] ?? '').trim());
    expect(text({ ...dwell, silentS: 0.3 })).toContain('Touch no valve.');
  });

  it.each(sizes)('fills $columns x $rows in every phase, and nothing is wider or longer', (size) => {
    expect([...moments.keys()]).toEqual(['ready', 'ramp', 'stabilise', 'dwell', 'bleed-down', 'done']);
    for (const view of [...moments.values(), alarmed ?? moments.get('done')]) {
      if (!view) continue;
      const frame = benchScreen(view, size, unicode);
      expect(frame.lines).toHaveLength(size.rows);
      for (const line of frame.lines) expect(lineWidth(line)).toBeLessThanOrEqual(size.columns);
    }
  });

  it.each([
    ['ready', 'VENTED', 'Raise the pressure to 60.0 bar, no faster than 1200 bar/min.'],
    ['ramp', 'RAMP', 'Raise the pressure to 60.0 bar, a little above it, and stop there.'],
    ['stabilise', 'SETTLE', 'Shut the cylinder in and leave every valve alone'],
    ['dwell', 'DWELL', 'Touch no valve. Look at every point, then confirm the inspection.'],
    ['bleed-down', 'BLEED-DOWN', 'Bleed down slowly at the bench valve, to below 2.0 bar.'],
    ['done', 'all ports done', 'Every port is done. Finish the test, or repeat a port.'],
  ])('in %s it names the phase and asks for one thing', (phase, name, asked) => {
    const shown = text(moments.get(phase));
    expect(shown).toContain(name);
    expect(shown).toContain(asked);
  });

  it('says that it is simulated and replayed before it says for whom', () => {
    const ramp = moments.get('ramp');
    if (!ramp) throw new Error('this moment never came');
    const header = { ...ramp.header, customer: 'Harrow Fell and Lower Weir Reservoir Works' };
    const [head = ''] = text({ ...ramp, header, mode: 'replay' }).split('\n');
    expect(head).toMatch(/^ T-2026-0007 {3}cylinder LW-77 {2}SIMULATED GAUGE {2}replay +port A$/);
  });

  it('shows target, limit, time left, estimate with its band, and what is allowed, in the dwell', () => {
    const shown = text(moments.get('dwell'));
    expect(shown).toContain('target  60.0 bar');
    expect(shown).toContain('never above  63.6 bar');
    expect(shown).toMatch(/6 s left of 20 s/);
    expect(shown).toMatch(
      /(CANNOT TELL YET|PASS LIKELY|FAIL LIKELY|CERTAIN TO FAIL) {3}drop less heat [−\d.]+ ± [\d.]+ of 1\.2\d bar allowed/,
    );
    expect(shown).toContain('· allowed decay');
  });

  it('shows every key of a phase, even in 80 columns', () => {
    const keys = text(moments.get('dwell')).split('\n').at(-1) ?? '';
    for (const key of ['i inspected', 'o oil', 'n note', 'e end', 's stop']) expect(keys).toContain(key);
  });

  it('keeps an alarm in sight, under the figures, and offers to acknowledge it', () => {
    const lines = text(alarmed).split('\n');
    const at = lines.findIndex((line) => line.includes('ALARM  Oil outside at the gland O-ring: drops (3 drops)'));
    expect(at).toBe(8);
    expect(lines.at(-1)).toContain('a acknowledge');
  });

  it('says the verdict of each port at the end, with the leak and its uncertainty', () => {
    const shown = text(moments.get('done'));
    expect(shown).toMatch(/Port A: {2}FAIL[\s\S]*leak 0\.0\d+ mL\/min ± [\d.]+ mL\/min \(95 %\)[\s\S]*Port B: {2}PASS/);
  });

  it('needs nothing but ASCII where the terminal has no more, and no colour where nobody wants it', () => {
    for (const view of moments.values()) {
      const plain = { colour: false, unicode: false };
      for (const line of benchScreen(view, { columns: 80, rows: 24 }, plain).lines) {
        const painted = paintLine(line, plain);
        // biome-ignore lint/suspicious/noControlCharactersInRegex: escape sequences are what is looked for
        expect(painted.replace(/\u001b\[[\d;]*m/g, '')).toMatch(/^[\x20-\x7e]*$/);
        // biome-ignore lint/suspicious/noControlCharactersInRegex: escape sequences are what is looked for
        expect(painted).not.toMatch(/\u001b\[(?:\d+;)*(?:3|4)\d/);
      }
    }
  });

  it('obeys nothing that a job file carries: control characters are blanks', () => {
    const view = moments.get('dwell');
    if (!view) throw new Error('no dwell');
    const evil = { ...view, header: { ...view.header, customer: 'Weir\u001b[2J\u202eFarm' } };
    const frame = benchScreen(evil, { columns: 80, rows: 24 }, unicode);
    expect(frame.lines.flat().every(({ text: piece }) => !/\p{Control}|\u202e/u.test(piece))).toBe(true);
  });
});

describe('the same test in another unit', () => {
  it('reads in psi throughout', async () => {
    let dwell = '';
    await showTest(
      { ports: ['A'] },
      ({ phase, view }) => {
        if (phase === 'dwell' && dwell === '') dwell = text(view());
      },
      'psi',
    );
    expect(dwell).toContain('target  870 psi');
    expect(dwell).not.toContain(' bar');
  });
});
