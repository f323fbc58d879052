import { describe, expect, it } from 'vitest';
import { dialogueOf } from '../../../src/cli/screen/act-dialogues.js';
import { type Answered, begin, dialogueLines, press } from '../../../src/cli/screen/dialogue.js';
import { lineWidth } from '../../../src/cli/screen/frame.js';
import { actOfKey } from '../../../src/cli/screen/key-words.js';
import type { OperatorAct, PhaseName, PromptKey } from '../../../src/holdtest/index.js';
import type { TestPlan } from '../../../src/procedure/index.js';
import { unitSystems } from '../../../src/units/index.js';

const plan = { ports: [{ port: 'A' }, { port: 'B' }] } as unknown as TestPlan;

/** Presses keys one after another: letters, `Enter`, `Esc`, `Down`, `Back`. */
function typed(key: PromptKey, keys: string, phase: PhaseName = 'dwell'): Answered<OperatorAct> {
  let now = begin(dialogueOf(key, plan, unitSystems.bar, phase));
  for (const [name] of keys.matchAll(/<\w+>|[\s\S]/g)) {
    if (!('open' in now)) return now;
    const special = { '<Enter>': 'return', '<Esc>': 'escape', '<Down>': 'down', '<Back>': 'backspace' }[name];
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
    ['end-dwell', 'fire drill<Enter>y', 'dwell', { kind: 'end-dwell', reason: 'fire drill' }],
    ['stop', 'hose weeps<Enter>y', 'ramp', { kind: 'stop', reason: 'hose weeps' }],
    ['force', '1steady by eye<Enter>y', 'stabilise', { kind: 'force', to: 'dwell', reason: 'steady by eye' }],
    [
      'repeat',
      '11hose leaked<Enter>y',
      'ready',
      { kind: 'repeat', port: 'A', cause: 'bench fault', reason: 'hose leaked' },
    ],
    ['repeat', '22new seal<Enter>y', 'done', { kind: 'repeat', port: 'B', cause: 'failed', reason: 'new seal' }],
  ])('%s %s in %s', (key, keys, phase, act) => {
    expect(typed(key, keys, phase)).toEqual({ outcome: act });
  });

  it('reads an oil temperature in the unit of the shop', () => {
    expect(typed('oil', '121,5<Enter>')).toEqual({
      outcome: { kind: 'oil-temperature', oilK: expect.closeTo(294.65, 6) },
    });
  });

  it('can be left at every question with Escape, and with n where it asks for sure', () => {
    for (const keys of ['<Esc>', 'why<Esc>', 'why<Enter><Esc>', 'why<Enter>n'])
      expect(typed('stop', keys), keys).toEqual({ left: true });
  });

  it('takes no empty reason and no figure that is none', () => {
    const empty = typed('stop', '  <Enter>');
    expect('open' in empty && empty.open.complaint).toContain('Write something');
    for (const figure of ['0', '-3', 'two'])
      expect('open' in typed('collected', `${figure}<Enter>`) && typed('collected', `${figure}<Enter>`)).toMatchObject({
        open: { answers: [], complaint: 'Write a figure above zero, in mL.' },
      });
  });

  it('chooses by arrows as well as by number', () => {
    expect(typed('observation', '<Down><Enter><Down><Enter>')).toEqual(typed('observation', '22'));
  });

  it('takes back letters', () => {
    expect(typed('note', '1ab<Back>c<Enter>')).toEqual({ outcome: { kind: 'note', text: 'ac' } });
  });

  it('shows all thirteen leak points below the figures of an 80 x 24 screen', () => {
    const open = begin(dialogueOf('observation', plan, unitSystems.bar, 'dwell'));
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
  it('mean something only where they are offered', () => {
    expect(actOfKey('e', ['note', 'end-dwell'])).toBe('end-dwell');
    expect(actOfKey('e', ['note'])).toBeNull();
    expect(actOfKey('z', ['note'])).toBeNull();
  });

  it('take Enter, space, and 0 of a numeric pad for going on', () => {
    for (const name of ['return', 'enter', 'space', '0']) expect(actOfKey(name, ['continue'])).toBe('continue');
  });
});
