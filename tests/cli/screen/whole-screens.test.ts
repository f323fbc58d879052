import { beforeAll, describe, expect, it } from 'vitest';
import { benchScreen } from '../../../src/cli/screen/bench-screen.js';
import type { BenchView } from '../../../src/cli/screen/bench-view.js';
import { lineWidth } from '../../../src/cli/screen/frame.js';
import { actKeys } from '../../../src/cli/screen/key-words.js';
import { frameText, paintLine, toAscii } from '../../../src/cli/screen/paint-line.js';
import { type PhaseName, promptFor } from '../../../src/holdtest/index.js';
import { spell } from '../../../src/units/index.js';
import { showTest } from './shown.js';

const sizes = [
  [80, 24],
  [120, 40],
  [200, 50],
] as const;
const terminals = [
  ['colour and UTF-8', { colour: true, unicode: true }],
  ['NO_COLOR', { colour: false, unicode: true }],
  ['no UTF-8', { colour: true, unicode: false }],
  ['neither', { colour: false, unicode: false }],
] as const;
const cases = sizes.flatMap(([columns, rows]) => terminals.map(([name, terms]) => ({ columns, rows, name, terms })));

/** What must be read at each phase, whatever the terminal. */
const facts: Readonly<Record<PhaseName, readonly (string | RegExp)[]>> = {
  ready: [
    'port A',
    'proof',
    'target  60.0 bar',
    'band  58.8 bar to 63.0 bar',
    'never above  63.6 bar',
    /zero {2}.* bar of \S+ 0\.10 bar/,
  ],
  ramp: ['port A', 'target  60.0 bar', 'never above  63.6 bar', /rate {2}[\d.]+ of 1200 bar\/min/, /in this phase/],
  stabilise: [
    'target  60.0 bar',
    'band  58.8 bar to 63.0 bar',
    /rate {2}.*[\d.]+ of 30.* bar\/min/,
    /left to settle, of 1 min/,
  ],
  dwell: [
    'target  60.0 bar',
    'never above  63.6 bar',
    /left of 20 s/,
    /(CANNOT TELL YET|PASS LIKELY|FAIL LIKELY|CERTAIN TO FAIL)/,
    /drop less heat [-−\d.]+ (±|\+-) [\d.]+ of 1\.2\d bar allowed/,
    'lowest allowed end',
    'allowed decay',
  ],
  'bleed-down': ['port A', /never above/, /proof: (pass|fail|inconclusive)/],
  done: ['all ports done', /Port A: {2}[A-Z]+/, /Port B: {2}[A-Z]+/, /leak [\d.]+ mL\/min (±|\+-) [\d.]+ mL\/min/],
};

const moments = new Map<PhaseName, BenchView>();

beforeAll(async () => {
  const count = new Map<string, number>();
  const end = await showTest({ leakMlPerMin: 0.1, dwellS: 20 }, ({ phase, view }) => {
    const seen = (count.get(phase) ?? 0) + 1;
    count.set(phase, seen);
    if (!moments.has(phase) && seen === (phase === 'dwell' ? 120 : 20)) moments.set(phase, view());
  });
  moments.set('done', end);
});

// biome-ignore lint/suspicious/noControlCharactersInRegex: escape sequences are what is looked for
const sequences = /\u001b\[([\d;?]*)([A-Za-z])/g;

describe('the whole screen at the bench', () => {
  it.each(cases)('at $columns x $rows with $name: every fact of every phase, nothing cut off', (one) => {
    const { columns, rows, terms } = one;
    expect([...moments.keys()]).toEqual(Object.keys(facts));
    for (const [phase, view] of moments) {
      const frame = benchScreen(view, { columns, rows }, terms);
      expect(frame.lines, phase).toHaveLength(rows);
      for (const line of frame.lines) expect(lineWidth(line), phase).toBeLessThanOrEqual(columns);
      const painted = frame.lines.map((line) => paintLine(line, terms)).join('\n');
      const shown = painted.replace(sequences, '').replaceAll('\u00a0', ' ');
      for (const fact of facts[phase]) expect(shown, phase).toMatch(fact);
      const prompt = promptFor(view.plan, view.state);
      const asked = spell(prompt.text, view.system).replaceAll('\u00a0', ' ');
      expect(shown.replace(/\s+/g, ' '), phase).toContain(terms.unicode ? asked : toAscii(asked));
      for (const act of prompt.keys)
        if (act !== 'oil' && act !== 'force' && act !== 'collected')
          expect(shown, phase).toMatch(` ${actKeys[act].key} `);
      expect(shown, `${phase} is cut`).not.toMatch(terms.unicode ? /…/ : /~/);
      if (!terms.unicode) expect(shown, phase).toMatch(/^[\x20-\x7e\n]*$/);
    }
  });

  it.each([
    [60, 24],
    [48, 20],
    [40, 24],
    [40, 16],
    [40, 12],
  ])('at %i x %i: prompt, alarm, limits and the mark of a simulation whole, the keys that matter', (columns, rows) => {
    const event = moments.get('dwell')?.events.at(-1);
    if (!event) throw new Error('no event');
    const alarm = 'The pressure of 65.0 bar is above the limit of 63.6 bar. Stop pumping.';
    for (const [phase, calm] of moments)
      for (const alarms of [[], [{ ...event, grade: 'alarm' as const, text: alarm }]]) {
        const view = { ...calm, state: { ...calm.state, alarms } };
        const { lines } = benchScreen(view, { columns, rows }, { colour: false, unicode: true });
        expect(lines, phase).toHaveLength(rows);
        for (const line of lines) expect(lineWidth(line), phase).toBeLessThanOrEqual(columns);
        const shown = frameText({ columns, lines }).join('\n').replaceAll('\u00a0', ' ');
        const flat = shown.replace(/\s+/g, ' ');
        expect(flat, phase).toContain(
          spell(promptFor(view.plan, view.state).text, view.system).replaceAll('\u00a0', ' '),
        );
        if (alarms.length > 0) expect(flat, phase).toContain(alarm);
        if (phase !== 'done' && (rows > 12 || alarms.length === 0))
          expect(flat, phase).toMatch(/never above 63\.6 bar/);
        expect(flat, phase).toContain('SIMULATED');
        expect(shown, `${phase} is cut:\n${shown}`).not.toContain('…');
        const keys = shown.split('\n').at(-1) ?? '';
        for (const act of ['acknowledge', 'continue', 'inspected', 'stop'] as const)
          if (promptFor(view.plan, view.state).keys.includes(act))
            expect(keys, phase).toContain(` ${actKeys[act].key} `);
      }
  });

  it.each(terminals)('with %s paints with weight, reversal and the eight colours, and nothing else', (_, terms) => {
    const used = new Set<string>();
    const letters = new Set<string | undefined>();
    for (const view of moments.values())
      for (const flash of [false, true])
        for (const line of benchScreen({ ...view, flash }, { columns: 120, rows: 40 }, terms).lines)
          for (const [, codes, letter] of paintLine(line, terms).matchAll(sequences)) {
            letters.add(letter);
            for (const code of (codes ?? '').split(';')) used.add(code);
          }
    const allowed = terms.colour ? /^(0|1|2|4|7|3[0-7]|4[0-7])$/ : /^(0|1|2|4|7)$/;
    expect([...letters]).toEqual(['m']);
    expect(used.size).toBeGreaterThan(3);
    for (const code of used) expect(code).toMatch(allowed);
  });
});
