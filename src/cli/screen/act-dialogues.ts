import {
  type AttemptFacts,
  entryText,
  type LeakAmount,
  type LeakPoint,
  leakAmounts,
  leakPoints,
  type OperatorAct,
  type PhaseName,
  type PromptKey,
  phaseSteps,
  phaseWord,
  standingEntries,
} from '../../holdtest/index.js';
import { dropsToM3 } from '../../hydraulics/index.js';
import type { TestPlan } from '../../procedure/index.js';
import { parseTemperature, spell, type UnitSystem } from '../../units/index.js';
import type { Dialogue, Next, Question } from './dialogue.js';

type ActDialogue = Dialogue<OperatorAct>;

const ask = (question: Question): Next<OperatorAct> => ({ question });
const act = (outcome: OperatorAct): Next<OperatorAct> => ({ outcome });
const confirm = (sure: string): Next<OperatorAct> => ask({ kind: 'confirm', ask: sure });

const ownWords = 'in my own words';
const usualNotes = [
  'the bench or the cylinder was touched',
  'room or sun warmed the bench',
  'a door was opened, cold air',
  'pump or machine nearby started',
  'gauge line was bled',
] as const;

/** What happened, and what to do now in five words. Common practice, no source. */
export const emergencies = [
  'pressure jumps: STOP PUMP. STAND CLEAR. WAIT.',
  'relief valve lifts: STOP PUMP. STAND WELL CLEAR.',
  'rod or piston moves: STAND CLEAR. TOUCH NOTHING. WAIT.',
  'oil jets out: STAND BACK. NEVER FEEL. STOP.',
] as const;

/** Reasons by number, for whoever has gloves on or nothing but a numeric pad. */
const usualReasons = {
  stop: [
    ...emergencies,
    'hose or fitting of the bench leaks',
    'oil outside the cylinder',
    'wrong job, port or gauge',
    'gauge or cable',
  ],
  endDwell: ['oil is seen outside: enough is known', 'a valve was touched', 'the bench is needed'],
  force: ['steady by eye', 'the phase was over and was not seen', 'trying the bench out'],
  'bench fault': ['hose or fitting leaked', 'a valve was not shut', 'gauge or cable', 'air was left in: purged again'],
  takeBack: ['wrong key', 'wrong place', 'wrong figure', 'it was not oil'],
  failed: ['seal changed', 'fitting or screw tightened', 'purged, and settled for longer'],
} as const;

/** A usual text or one's own words: what still has to be asked, or the text and the answers after it. */
function worded(
  given: readonly string[],
  why: string,
  usual: readonly string[],
): { readonly text: string; readonly after: readonly string[] } | Next<OperatorAct> {
  const [which, own, ...after] = given;
  if (which === undefined) return ask({ kind: 'choose', ask: why, options: [ownWords, ...usual] });
  if (which !== ownWords) return { text: which, after: given.slice(1) };
  return own === undefined ? ask({ kind: 'text', ask: why }) : { text: own, after };
}

const amountWords: Readonly<Record<LeakAmount, string>> = {
  dry: 'dry',
  film: 'film: wet, nothing gathers',
  weep: 'weep: gathers, no drop falls',
  drops: 'drops: fall and can be counted',
  run: 'run: a thread or a stream',
};

/** What a dialogue must know of the test. */
export interface ActAsk {
  readonly plan: TestPlan;
  readonly system: UnitSystem;
  readonly phase: PhaseName;
  readonly facts: AttemptFacts;
}

/** The dialogue that belongs to a key; the key's act at once where nothing has to be asked. */
export function dialogueOf(key: PromptKey, { plan, system, phase, facts }: ActAsk): ActDialogue {
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
      return collected(plan);
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
    case 'take-back':
      return takeBack(facts, system);
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
  // Drops that nobody counted were seen all the same.
  left: ([point, amount]) => {
    if (point === undefined) return undefined;
    if (amount === amountWords.drops)
      return { kind: 'observation', observation: { point: point as LeakPoint, amount: 'drops' } };
    return { kind: 'note', text: `Oil seen at the ${point}: how much was not answered.` };
  },
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

/** In drops where the procedure counts them, else in millilitres. */
const collected = ({ ports, dropsPerMl }: TestPlan): ActDialogue => {
  const counted = ports.some((port) => port.collected?.drops !== undefined);
  const unit = counted ? 'drops' : 'mL';
  return {
    title: 'Oil collected at the open port',
    left: ([amount]) =>
      amount === undefined
        ? undefined
        : { kind: 'note', text: `${amount} ${unit} of oil collected at the open port: in how long was not answered.` },
    next: ([amount, minutes]) => {
      if (amount === undefined)
        return ask({ kind: 'figure', ask: 'How much? Let decompression oil stop first.', unit });
      if (minutes === undefined) return ask({ kind: 'figure', ask: 'In how long?', unit: 'min' });
      const volumeM3 = counted ? dropsToM3(Number(amount), dropsPerMl) : Number(amount) * 1e-6;
      return act({ kind: 'collected', volumeM3, overS: Number(minutes) * 60 });
    },
  };
};

const note: ActDialogue = {
  title: 'Note',
  next: (given) => {
    const said = worded(given, 'What is to be written down?', usualNotes);
    return 'text' in said ? act({ kind: 'note', text: said.text }) : said;
  },
};

/** What becomes of a text that was scanned and has no meaning of its own. */
export const scannedText = (text: string, serial: string): ActDialogue => ({
  title: 'Scanned',
  next: ([keep]) => {
    const what = text === serial ? 'the serial of this cylinder' : 'not the serial of this cylinder';
    if (keep === undefined) return confirm(`"${text}", ${what}. Write it down as a note?`);
    return act({ kind: 'note', text: `Scanned ${text}: ${what}.` });
  },
});

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

/** Which of the entries was wrong, the newest first, and why. */
const takeBack = (facts: AttemptFacts, system: UnitSystem): ActDialogue => ({
  title: 'Take an entry back; it and the correction stay in the record',
  next: ([which, ...given]) => {
    const standing = standingEntries(facts);
    const options = standing.map(({ act }, index) => {
      const text = spell(entryText(act), system);
      // Two that read the same are told apart by their order.
      const same = standing.slice(0, index).filter((one) => spell(entryText(one.act), system) === text).length;
      return same === 0 ? text : `${text} (${same + 1} before)`;
    });
    if (which === undefined) return ask({ kind: 'choose', ask: 'Which entry was wrong?', options });
    const said = worded(given, 'Why was it wrong?', usualReasons.takeBack);
    if (!('text' in said)) return said;
    return act({ kind: 'take-back', entry: standing[options.indexOf(which)]?.place ?? -1, reason: said.text });
  },
});

const endDwell: ActDialogue = {
  title: 'End the dwell before its time',
  next: (given) => {
    const said = worded(given, 'Why? A dwell cut short can fail, but it can never pass.', usualReasons.endDwell);
    if (!('text' in said)) return said;
    return said.after.length === 0 ? confirm('End the dwell now?') : act({ kind: 'end-dwell', reason: said.text });
  },
};

export const stop: ActDialogue = {
  title: 'Stop the test',
  next: (given) => {
    const why = 'Why? What was recorded stands; the bleed-down is still watched.';
    const said = worded(given, why, usualReasons.stop);
    if (!('text' in said)) return said;
    const [happened = '', doNow] = said.text.split(': ');
    const words = emergencies.some((one) => one === said.text) ? doNow : undefined;
    if (said.after.length > 0) return act({ kind: 'stop', reason: words === undefined ? said.text : happened });
    return ask({ kind: 'confirm', ask: 'Stop the test now?', ...(words === undefined ? {} : { words }) });
  },
};

/** Ways on that the phases take only when somebody says so. */
const ways: Readonly<Partial<Record<PhaseName, readonly PhaseName[]>>> = {
  ready: ['ramp'],
  ramp: ['stabilise', 'bleed-down'],
  stabilise: ['dwell', 'bleed-down'],
  'bleed-down': ['done'],
};

const phaseNamed = (word: string): PhaseName => phaseSteps.find(([, shown]) => shown === word)?.[0] ?? 'done';

const force = (phase: PhaseName): ActDialogue => ({
  title: 'Force the next phase; the record says that it was forced',
  next: ([to, ...given]) => {
    if (to === undefined)
      return ask({
        kind: 'choose',
        ask: `From ${phaseWord(phase)} to:`,
        options: (ways[phase] ?? ['bleed-down']).map(phaseWord),
      });
    const said = worded(given, `Why force ${to}?`, usualReasons.force);
    if (!('text' in said)) return said;
    return said.after.length === 0
      ? confirm(`Force ${phaseWord(phase)} to ${to} now?`)
      : act({ kind: 'force', to: phaseNamed(to), reason: said.text });
  },
});

const causes = {
  'bench fault: the attempt says nothing about the cylinder': 'bench fault',
  'failed: tried again after work on it': 'failed',
} as const;
const isCause = (words: string): words is keyof typeof causes => Object.hasOwn(causes, words);

const repeat = (plan: TestPlan): ActDialogue => ({
  title: 'Repeat a port; every attempt stays in the record',
  next: ([port, words, ...given]) => {
    const names = plan.ports.map((one) => `port ${one.port}`);
    if (port === undefined) return ask({ kind: 'choose', ask: 'Which port?', options: names });
    if (words === undefined || !isCause(words))
      return ask({ kind: 'choose', ask: 'What was it?', options: Object.keys(causes) });
    const cause = causes[words];
    const said = worded(given, 'Why is it repeated?', usualReasons[cause]);
    if (!('text' in said)) return said;
    if (said.after.length === 0) return confirm(`Test ${port} again?`);
    return act({ kind: 'repeat', port: port === 'port B' ? 'B' : 'A', cause, reason: said.text });
  },
});
