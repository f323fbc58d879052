import { describe, expect, it } from 'vitest';
import { dialogueOf, emergencies } from '../../../src/cli/screen/act-dialogues.js';
import { type Answered, begin, dialogueLines, press } from '../../../src/cli/screen/dialogue.js';
import { lineWidth } from '../../../src/cli/screen/frame.js';
import { actKeys, actOfKey, helpOf, keyMapOf } from '../../../src/cli/screen/key-words.js';
import { beginHold, type OperatorAct, type PhaseName, type PromptKey } from '../../../src/holdtest/index.js';
import type { TestPlan } from '../../../src/procedure/index.js';
import { unitSystems } from '../../../src/units/index.js';

const { facts } = beginHold(2);
const plan = { ports: [{ port: 'A' }, { port: 'B' }] } as unknown as TestPlan;

/** Presses keys one after another: letters, `Enter`, `Esc`, `Down`, `Back`. */
function typed(key: PromptKey, keys: string, phase: PhaseName = 'dwell'): Answered<OperatorAct> {
  let now = begin(dialogueOf(key, { plan, system: unitSystems.bar, phase, facts }));
  for (const [name] of keys.matchAll(/<\w+>|[\s\S]/g)) {
    if (!('open' in now)) return now;
    const special = { '<Enter>': 'return', '<Esc>': 'escape', '<Down>': 'down', '<Up>': 'up', '<Back>': 'backspace' }[
      name
    ];
    now = press(now.open, { name: special ?? name, ctrl: false, text: special === undefined ? name : '' });
  }
  return now;
}

describe('what the keys at the bench come to', () => {
  it.each<[PromptKey, string, PhaseName, OperatorAct]>([
    ['continue', '', 'ready', { kind: 'continue' }],
    ['acknowledge', '', 'dwell', { kind: 'acknowledge' }],
    ['inspected', 'y', 'dwell', { kind: 'inspected' }],
    ['observation', '22', 'dwell', { kind: 'observation', observation: { point: 'gland O-ring', amount: 'film' } }],
    [
      'observation',
      '1<Enter>43<Enter>',
      'dwell',
      { kind: 'observation', observation: { point: 'rod seal and wiper', amount: 'drops', drops: 3 } },
    ],
    [
      'observation',
      '131',
      'dwell',
      { kind: 'observation', observation: { point: 'bench line or fitting', amount: 'dry' } },
    ],
    ['collected', '1,2<Enter>5<Enter>', 'dwell', { kind: 'collected', volumeM3: 1.2e-6, overS: 300 }],
    ['note', '1door open<Enter>', 'ramp', { kind: 'note', text: 'door open' }],
    ['note', '6', 'ramp', { kind: 'note', text: 'gauge line was bled' }],
    ['oil', '212<Enter>', 'ramp', { kind: 'strokes', count: 12 }],
    ['oil', '365<Enter>', 'ramp', { kind: 'oil-pumped', volumeM3: 65e-6 }],
    ['end-dwell', '1fire drill<Enter>y', 'dwell', { kind: 'end-dwell', reason: 'fire drill' }],
    ['end-dwell', '41', 'dwell', { kind: 'end-dwell', reason: 'the bench is needed' }],
    ['stop', '1hose weeps<Enter>y', 'ramp', { kind: 'stop', reason: 'hose weeps' }],
    ['stop', '91', 'ramp', { kind: 'stop', reason: 'gauge or cable' }],
    ['force', '11by the clock<Enter>y', 'stabilise', { kind: 'force', to: 'dwell', reason: 'by the clock' }],
    ['force', '12y', 'stabilise', { kind: 'force', to: 'dwell', reason: 'steady by eye' }],
    ['repeat', '1121', 'ready', { kind: 'repeat', port: 'A', cause: 'bench fault', reason: 'hose or fitting leaked' }],
    [
      'repeat',
      '111hose leaked<Enter>y',
      'ready',
      { kind: 'repeat', port: 'A', cause: 'bench fault', reason: 'hose leaked' },
    ],
    ['repeat', '221new seal<Enter>y', 'done', { kind: 'repeat', port: 'B', cause: 'failed', reason: 'new seal' }],
  ])('%s %s in %s', (key, keys, phase, act) => {
    expect(typed(key, keys, phase)).toEqual({ outcome: act });
  });

  it('reads an oil temperature in the unit of the shop', () => {
    expect(typed('oil', '121,5<Enter>')).toEqual({
      outcome: { kind: 'oil-temperature', oilK: expect.closeTo(294.65, 6) },
    });
  });

  it('can be left at every question with Escape, and with n where it asks for sure', () => {
    for (const keys of ['<Esc>', '/', '1why<Esc>', '1why<Enter><Esc>', '1why<Enter>n', '2/', '22'])
      expect(typed('stop', keys), keys).toEqual({ left: true });
  });

  it('takes no Enter for a yes: a foot switch trodden on twice confirms nothing', () => {
    const asked = typed('stop', '2<Enter><Enter>');
    expect('open' in asked && asked.open).toMatchObject({
      question: { kind: 'confirm' },
      complaint: 'y or 1 for yes, n or 2 for no.',
    });
  });

  it('takes no empty reason and no figure that is none', () => {
    const empty = typed('stop', '1  <Enter>');
    expect('open' in empty && empty.open.complaint).toContain('Write something');
    for (const figure of ['0', '-3', 'two'])
      expect('open' in typed('collected', `${figure}<Enter>`) && typed('collected', `${figure}<Enter>`)).toMatchObject({
        open: { answers: [], complaint: 'Write a figure above zero, in mL.' },
      });
  });

  it('takes an Enter behind a number for that number, never for the answer of the next list', () => {
    const asked = typed('observation', '11<Enter>');
    expect('open' in asked && asked.open.question).toMatchObject({
      kind: 'choose',
      ask: expect.stringMatching(/^How much/),
    });
    expect(typed('observation', '11<Enter>2')).toEqual(typed('observation', '112'));
    expect('open' in typed('repeat', '2<Enter>')).toBe(true);
  });

  it('picks nothing by Enter alone, whatever the list: a second tread on the foot switch is no answer', () => {
    for (const key of ['observation', 'note', 'oil', 'end-dwell', 'stop', 'force', 'repeat'] as const) {
      const asked = typed(key, '<Enter><Enter><Enter>');
      expect('open' in asked && asked.open, key).toMatchObject({
        answers: [],
        complaint: expect.stringContaining('Pick one first'),
      });
    }
    expect(typed('observation', '11<Enter><Enter><Enter>')).toMatchObject({
      open: { answers: ['open opposite port'] },
    });
  });

  it('keeps a sighting as a note when how much, or in how long, is not answered', () => {
    const note = (text: string) => ({ outcome: { kind: 'note', text } });
    expect(typed('observation', '2<Esc>')).toEqual(note('Oil seen at the gland O-ring: how much was not answered.'));
    const caught = note('5 mL of oil collected at the open port: in how long was not answered.');
    expect(typed('collected', '5<Enter><Esc>')).toEqual(caught);
    for (const key of ['observation', 'collected'] as const) expect(typed(key, '<Esc>')).toEqual({ left: true });
  });

  it('keeps oil that was seen when its drops are not counted', () => {
    expect(typed('observation', '24<Esc>')).toEqual({
      outcome: { kind: 'observation', observation: { point: 'gland O-ring', amount: 'drops' } },
    });
  });

  it('says in five words what to do in an emergency, whole on 80 and on 40 columns', () => {
    for (const [index, line] of emergencies.entries()) {
      const [happened = '', words = ''] = line.split(': ');
      expect(words.split(' ')).toHaveLength(5);
      const sure = typed('stop', String(index + 2));
      if (!('open' in sure)) throw new Error('nothing asked');
      for (const columns of [80, 40]) {
        const shown = dialogueLines(sure.open, columns, 12).map((spans) => spans.map(({ text }) => text).join(''));
        const letters = shown.join('').replaceAll(' ', '');
        expect(letters).toContain(words.replaceAll(' ', ''));
        expect(shown.slice(0, 8).every((text) => text.length <= columns)).toBe(true);
      }
      expect(typed('stop', `${index + 2}y`)).toEqual({ outcome: { kind: 'stop', reason: happened } });
    }
  });

  it('cuts no option on 40 columns and 12 rows: arrows bring every one into sight', () => {
    for (const key of ['observation', 'stop', 'note', 'repeat', 'force'] as const) {
      const first = typed(key, '');
      if (!('open' in first) || first.open.question.kind !== 'choose') throw new Error('no list');
      const { options } = first.open.question;
      const seen = new Set<string>();
      for (let down = 0; down < options.length; down += 1) {
        const now = typed(key, '<Down>'.repeat(down));
        if (!('open' in now)) throw new Error('not open');
        const lines = dialogueLines(now.open, 40, 12);
        expect(lines.length, key).toBeLessThanOrEqual(12);
        for (const line of lines) expect(lineWidth(line), key).toBeLessThanOrEqual(40);
        const flat = lines
          .map((line) => line.map(({ text }) => text).join(''))
          .join(' ')
          .replace(/\s+/g, ' ');
        expect(flat, key).not.toContain('…');
        for (const option of options) if (flat.includes(option)) seen.add(option);
      }
      expect([...seen].sort(), key).toEqual([...options].sort());
    }
  });

  it('chooses by arrows as well as by number', () => {
    expect(typed('observation', '<Down><Down><Enter><Up><Enter>')).toEqual(typed('observation', '25'));
  });

  it('takes back letters', () => {
    expect(typed('note', '1ab<Back>c<Enter>')).toEqual({ outcome: { kind: 'note', text: 'ac' } });
  });

  it('shows all thirteen leak points below the figures of an 80 x 24 screen', () => {
    const open = begin(dialogueOf('observation', { plan, system: unitSystems.bar, phase: 'dwell', facts }));
    if (!('open' in open)) throw new Error('no dialogue');
    const lines = dialogueLines(open.open, 80, 14);
    expect(lines.length).toBeLessThanOrEqual(14);
    expect(
      lines
        .flat()
        .map(({ text }) => text)
        .join(' '),
    ).toContain('13  bench line or fitting');
    for (const line of lines) expect(lineWidth(line)).toBeLessThanOrEqual(80);
  });
});

describe('keys', () => {
  it('of a shop are added to the others, and refused where they mean something already or are none', () => {
    const of = (keymap: Readonly<Record<string, string>>) => keyMapOf({ file: 'dwellmark.toml', keymap });
    const more = of({ PageDown: 'continue', b: 'oil', 'CARD-INSPECTED': 'inspected' });
    expect(actOfKey('pagedown', ['continue'], more)).toBe('continue');
    expect(actOfKey('CARD-INSPECTED', ['inspected'], more)).toBe('inspected');
    expect(actOfKey('b', ['note'], more)).toBeNull();
    expect(actOfKey('s', ['stop'], more)).toBe('stop');
    expect(() => of({ s: 'continue' })).toThrow(/the key s has a meaning already/);
    expect(() => of({ F13: 'continue' })).toThrow(/there is no key "F13"/);
    expect(() => of({ F5: 'stopp' })).toThrow(/nothing at the bench is called "stopp"/);
  });

  it('mean something only where they are offered', () => {
    expect(actOfKey('e', ['note', 'end-dwell'])).toBe('end-dwell');
    expect(actOfKey('e', ['note'])).toBeNull();
    expect(actOfKey('z', ['note'])).toBeNull();
  });

  it('take Enter, and 0 of a numeric pad, for going on; not the space bar, which a glove finds first', () => {
    for (const name of ['return', 'enter', '0']) expect(actOfKey(name, ['continue'])).toBe('continue');
    expect(actOfKey('space', ['continue'])).toBeNull();
  });

  it('have one place each on a numeric pad, and the list of keys names them', () => {
    const acts = Object.keys(actKeys) as PromptKey[];
    expect(new Set(acts.map((act) => actKeys[act].pad)).size).toBe(acts.length);
    for (const act of acts) expect(actOfKey(actKeys[act].pad, acts)).toBe(act);
    expect(helpOf(['inspected', 'stop']).map(([key]) => key)).toEqual([
      'i or 1',
      's or .',
      'm or -',
      '? or *',
      'Esc or /',
    ]);
  });
});
