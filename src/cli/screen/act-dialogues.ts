import {
  type LeakAmount,
  type LeakPoint,
  leakAmounts,
  leakPoints,
  type OperatorAct,
  type PhaseName,
  type PromptKey,
} from '../../holdtest/index.js';
import type { TestPlan } from '../../procedure/index.js';
import { parseTemperature, type UnitSystem } from '../../units/index.js';
import type { Dialogue, Next, Question } from './dialogue.js';
import { phaseWord, steps } from './phase-words.js';

type ActDialogue = Dialogue<OperatorAct>;

const ask = (question: Question): Next<OperatorAct> => ({ question });
const act = (outcome: OperatorAct): Next<OperatorAct> => ({ outcome });
const reason = (why: string): Next<OperatorAct> => ask({ kind: 'text', ask: why });
const confirm = (sure: string): Next<OperatorAct> => ask({ kind: 'confirm', ask: sure });

const ownWords = 'in my own words';
const usualNotes = [
  ownWords,
  'the bench or the cylinder was touched',
  'room or sun warmed the bench',
  'a door was opened, cold air',
  'pump or machine nearby started',
  'gauge line was bled',
] as const;

const amountWords: Readonly<Record<LeakAmount, string>> = {
  dry: 'dry',
  film: 'film: wet, nothing gathers',
  weep: 'weep: gathers, no drop falls',
  drops: 'drops: fall and can be counted',
  run: 'run: a thread or a stream',
};

/** The dialogue that belongs to a key; the key's act at once where nothing has to be asked. */
export function dialogueOf(key: PromptKey, plan: TestPlan, system: UnitSystem, phase: PhaseName): ActDialogue {
  switch (key) {
    case 'continue':
      return { title: 'Continue', next: () => act({ kind: 'continue' }) };
    case 'acknowledge':
      return { title: 'Acknowledge', next: () => act({ kind: 'acknowledge' }) };
    case 'inspected':
      return inspected;
    case 'observation':
      return observation;
    case 'collected':
      return collected;
    case 'note':
      return note;
    case 'oil':
      return figures(system);
    case 'end-dwell':
      return endDwell;
    case 'force':
      return force(phase);
    case 'repeat':
      return repeat(plan);
    case 'stop':
      return stop;
    default:
      return key satisfies never;
  }
}

const inspected: ActDialogue = {
  title: 'Inspection',
  next: ([sure]) =>
    sure === undefined
      ? confirm('Every point has been looked at, and what was seen is written down?')
      : act({ kind: 'inspected' }),
};

const observation: ActDialogue = {
  title: 'Oil seen',
  next: ([point, amount, drops]) => {
    if (point === undefined) return ask({ kind: 'choose', ask: 'Where?', options: leakPoints });
    if (amount === undefined)
      return ask({
        kind: 'choose',
        ask: `How much at the ${point}?`,
        options: leakAmounts.map((word) => amountWords[word]),
      });
    const seen = leakAmounts.find((word) => amountWords[word] === amount) ?? 'run';
    if (seen === 'drops' && drops === undefined) return ask({ kind: 'figure', ask: 'How many drops?', unit: 'drops' });
    const counted = drops === undefined ? {} : { drops: Math.max(1, Math.round(Number(drops))) };
    return act({ kind: 'observation', observation: { point: point as LeakPoint, amount: seen, ...counted } });
  },
};

const collected: ActDialogue = {
  title: 'Oil collected at the open port',
  next: ([volume, minutes]) => {
    if (volume === undefined)
      return ask({ kind: 'figure', ask: 'How much? Let decompression oil stop first.', unit: 'mL' });
    if (minutes === undefined) return ask({ kind: 'figure', ask: 'In how long?', unit: 'min' });
    return act({ kind: 'collected', volumeM3: Number(volume) * 1e-6, overS: Number(minutes) * 60 });
  },
};

const note: ActDialogue = {
  title: 'Note',
  next: ([which, text]) => {
    if (which === undefined) return ask({ kind: 'choose', ask: 'What is to be written down?', options: usualNotes });
    if (which !== ownWords) return act({ kind: 'note', text: which });
    return text === undefined ? reason('Note:') : act({ kind: 'note', text });
  },
};

/** Figures that only the person can give. */
const figures = (system: UnitSystem): ActDialogue => ({
  title: 'Figures read by hand',
  next: ([which, value]) => {
    const kinds = ['oil temperature', 'booster strokes counted', 'oil pumped in'] as const;
    if (which === undefined) return ask({ kind: 'choose', ask: 'Which figure?', options: kinds });
    const unit = which === kinds[0] ? `°${system.temperature}` : which === kinds[1] ? 'strokes' : 'mL';
    if (value === undefined) return ask({ kind: 'figure', ask: `${which}:`, unit });
    if (which === kinds[0])
      return act({ kind: 'oil-temperature', oilK: parseTemperature(`${value} ${system.temperature}`) });
    if (which === kinds[1]) return act({ kind: 'strokes', count: Math.round(Number(value)) });
    return act({ kind: 'oil-pumped', volumeM3: Number(value) * 1e-6 });
  },
});

const endDwell: ActDialogue = {
  title: 'End the dwell before its time',
  next: ([why, sure]) => {
    if (why === undefined) return reason('Why? A dwell cut short can fail, but it can never pass.');
    return sure === undefined ? confirm('End the dwell now?') : act({ kind: 'end-dwell', reason: why });
  },
};

export const stop: ActDialogue = {
  title: 'Stop the test',
  next: ([why, sure]) => {
    if (why === undefined) return reason('Why? What was recorded stands; the bleed-down is still watched.');
    return sure === undefined ? confirm('Stop the test now?') : act({ kind: 'stop', reason: why });
  },
};

/** Ways on that the phases take only when somebody says so. */
const ways: Readonly<Partial<Record<PhaseName, readonly PhaseName[]>>> = {
  ready: ['ramp'],
  ramp: ['stabilise', 'bleed-down'],
  stabilise: ['dwell', 'bleed-down'],
  'bleed-down': ['done'],
};

const phaseNamed = (word: string): PhaseName => steps.find(([, shown]) => shown === word)?.[0] ?? 'done';

const force = (phase: PhaseName): ActDialogue => ({
  title: 'Force the next phase; the record says that it was forced',
  next: ([to, why, sure]) => {
    if (to === undefined)
      return ask({
        kind: 'choose',
        ask: `From ${phaseWord(phase)} to:`,
        options: (ways[phase] ?? ['bleed-down']).map(phaseWord),
      });
    if (why === undefined) return reason(`Why force ${to}?`);
    return sure === undefined
      ? confirm(`Force ${phaseWord(phase)} to ${to} now?`)
      : act({ kind: 'force', to: phaseNamed(to), reason: why });
  },
});

const repeat = (plan: TestPlan): ActDialogue => ({
  title: 'Repeat a port; every attempt stays in the record',
  next: ([port, cause, why, sure]) => {
    const names = plan.ports.map((one) => `port ${one.port}`);
    if (port === undefined) return ask({ kind: 'choose', ask: 'Which port?', options: names });
    const causes = ['bench fault: the attempt says nothing about the cylinder', 'failed: tried again after work on it'];
    if (cause === undefined) return ask({ kind: 'choose', ask: 'What was it?', options: causes });
    if (why === undefined) return reason('Why is it repeated?');
    if (sure === undefined) return confirm(`Test ${port} again?`);
    return act({
      kind: 'repeat',
      port: port === 'port B' ? 'B' : 'A',
      cause: cause === causes[0] ? 'bench fault' : 'failed',
      reason: why,
    });
  },
});
