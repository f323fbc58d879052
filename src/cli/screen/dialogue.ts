import { type Line, padTo, span, textWidth, wrapText } from './frame.js';

/** One thing that a person is asked. */
export type Question =
  | { readonly kind: 'choose'; readonly ask: string; readonly options: readonly string[] }
  | { readonly kind: 'text'; readonly ask: string; readonly preset?: string }
  /** A figure above zero; a comma will do for a point. */
  | { readonly kind: 'figure'; readonly ask: string; readonly unit: string }
  /** `words`: what to do first, seen from across the bench. */
  | { readonly kind: 'confirm'; readonly ask: string; readonly words?: string };

/** What comes after the answers so far: another question, or what they come to. */
export type Next<T> = { readonly question: Question } | { readonly outcome: T };

/** A few questions that lead to one act. Pure: the next question follows from the answers. */
export interface Dialogue<T> {
  readonly title: string;
  readonly next: (answers: readonly string[]) => Next<T>;
  /** What the answers so far come to when the rest is left out; absent or undefined: nothing. */
  readonly left?: (answers: readonly string[]) => T | undefined;
}

export interface OpenDialogue<T> {
  readonly dialogue: Dialogue<T>;
  readonly answers: readonly string[];
  readonly question: Question;
  readonly typed: string;
  /** -1 until something is picked: an Enter alone answers no list. */
  readonly chosen: number;
  /** What was wrong with the last answer. */
  readonly complaint: string;
  /** The answer before was a number that took itself: an Enter behind it is of that answer, not of this one. */
  readonly spareEnter: boolean;
}

export type Answered<T> =
  | { readonly open: OpenDialogue<T> }
  | { readonly outcome: T }
  /** Left without an answer. */
  | { readonly left: true };

/** A key as the terminal gives it. */
export interface Key {
  readonly name: string;
  readonly ctrl: boolean;
  /** What it types; empty for keys that type nothing. */
  readonly text: string;
}

/** Opens a dialogue at its first question. One without questions is over at once. */
export function begin<T>(dialogue: Dialogue<T>): Answered<T> {
  return advance(dialogue, []);
}

function advance<T>(dialogue: Dialogue<T>, answers: readonly string[], spareEnter = false): Answered<T> {
  const next = dialogue.next(answers);
  if ('outcome' in next) return { outcome: next.outcome };
  const { question } = next;
  const typed = question.kind === 'text' ? (question.preset ?? '') : '';
  return { open: { dialogue, answers, question, typed, chosen: -1, complaint: '', spareEnter } };
}

/**
 * One key on. Escape leaves, and on a numeric pad / does where nothing is written; Backspace takes back a letter. Enter
 * alone neither confirms nor picks: whoever treads on a foot switch twice has not answered.
 */
export function press<T>(before: OpenDialogue<T>, key: Key): Answered<T> {
  const open = before.spareEnter ? { ...before, spareEnter: false } : before;
  if (before.spareEnter && isEnter(key)) return { open };
  const { question } = open;
  const writes = question.kind === 'text' || question.kind === 'figure';
  if (key.name === 'escape' || (key.text === '/' && !writes)) {
    const outcome = open.dialogue.left?.(open.answers);
    return outcome === undefined ? { left: true } : { outcome };
  }
  switch (question.kind) {
    case 'choose':
      return pressChoice(open, question.options, key);
    case 'confirm':
      if (/^[y1]$/i.test(key.text)) return advance(open.dialogue, [...open.answers, 'y']);
      if (/^[n2]$/i.test(key.text)) return { left: true };
      return { open: { ...open, complaint: 'y or 1 for yes, n or 2 for no.' } };
    default:
      return pressText(open, question, key);
  }
}

/** Text that came all at once, from a scanner or a paste: written where something is to be written, else left alone. */
export function pressScanned<T>(open: OpenDialogue<T>, text: string, entered: boolean): Answered<T> {
  const { kind } = open.question;
  if (kind === 'choose' || kind === 'confirm')
    return { open: { ...open, complaint: 'A scan is no answer here: press the key.' } };
  let answered: Answered<T> = { open };
  const keys = [...text].map((letter): Key => ({ name: letter, ctrl: false, text: letter }));
  if (entered) keys.push({ name: 'return', ctrl: false, text: '' });
  for (const key of keys) if ('open' in answered) answered = press(answered.open, key);
  return answered;
}

const isEnter = ({ name }: Key): boolean => name === 'return' || name === 'enter';

function pressChoice<T>(open: OpenDialogue<T>, options: readonly string[], key: Key): Answered<T> {
  const move = key.name === 'down' || key.text === '+' ? 1 : key.name === 'up' || key.text === '-' ? -1 : 0;
  if (move !== 0) {
    const from = open.chosen < 0 && move < 0 ? 0 : open.chosen;
    const chosen = (from + move + options.length) % options.length;
    return { open: { ...open, chosen, typed: '', complaint: '' } };
  }
  if (/^\d$/.test(key.text)) {
    const number = Number(open.typed + key.text);
    const few = options.length < 10;
    if (number < 1 || number > options.length)
      return { open: { ...open, chosen: -1, typed: '', complaint: `Nothing has the number ${number}.` } };
    if (few || number * 10 > options.length)
      return advance(open.dialogue, [...open.answers, options[number - 1] ?? ''], true);
    return { open: { ...open, chosen: number - 1, typed: key.text, complaint: '' } };
  }
  if (!isEnter(key)) return { open };
  const picked = options[open.chosen];
  if (picked === undefined) return { open: { ...open, complaint: 'Pick one first: its number, or the arrows.' } };
  return advance(open.dialogue, [...open.answers, picked]);
}

function pressText<T>(
  open: OpenDialogue<T>,
  question: Extract<Question, { kind: 'text' | 'figure' }>,
  key: Key,
): Answered<T> {
  if (key.name === 'backspace') return { open: { ...open, typed: [...open.typed].slice(0, -1).join('') } };
  if (key.ctrl && key.name === 'u') return { open: { ...open, typed: '' } };
  if (isEnter(key)) {
    const answer = open.typed.trim();
    if (answer === '') return { open: { ...open, complaint: 'Write something, or Escape to leave.' } };
    if (question.kind === 'figure') {
      const value = Number(answer.replace(',', '.'));
      if (!Number.isFinite(value) || value <= 0)
        return { open: { ...open, complaint: `Write a figure above zero, in ${question.unit}.` } };
      return advance(open.dialogue, [...open.answers, String(value)]);
    }
    return advance(open.dialogue, [...open.answers, answer]);
  }
  if (key.ctrl || key.text === '' || /\p{Control}/u.test(key.text) || open.typed.length >= 200) return { open };
  return { open: { ...open, typed: open.typed + key.text, complaint: '' } };
}

/** An open dialogue as lines, to stand over the lower part of a screen. */
export function dialogueLines<T>(open: OpenDialogue<T>, width: number, rows: number): Line[] {
  const { question, typed, chosen, complaint, dialogue } = open;
  const bar = (text: string): Line => [span(padTo(` ${text}`, width), 'band')];
  const lines: Line[] = [
    ...wrapText(dialogue.title, width - 2).map(bar),
    ...(question.kind === 'confirm' && question.words !== undefined ? bigWords(question.words, width) : []),
    ...wrapText(question.ask, width - 4).map((text): Line => [span(`  ${text}`, 'bold')]),
  ];
  const how =
    question.kind === 'choose'
      ? 'number, or arrows and Enter'
      : question.kind === 'confirm'
        ? 'y or n'
        : 'Enter when it is written';
  const leaves = dialogue.left?.(open.answers) === undefined ? 'leaves this without an answer' : 'leaves out the rest';
  const below: Line[] = [
    ...(complaint === '' ? [[]] : wrapText(complaint, width - 3).map((text): Line => [span(`  ${text}`, 'warn')])),
    ...wrapText(`${how}; Esc ${leaves}`, width - 3).map((text): Line => [span(`  ${text}`, 'dim')]),
  ];
  if (question.kind === 'choose')
    lines.push(...choiceLines(question.options, chosen, width, rows - lines.length - below.length));
  else if (question.kind === 'confirm')
    lines.push([span('  y', 'bold'), span(' or 1: yes   ', 'dim'), span('n', 'bold'), span(' or 2: no', 'dim')]);
  else {
    const unit = question.kind === 'figure' ? ` ${question.unit}` : '';
    const room = width - 6 - unit.length;
    const shown = [...typed].slice(-room).join('');
    lines.push([span('  > ', 'warn'), span(shown), span('█', 'dim'), span(unit, 'dim')]);
  }
  return [...lines, ...below];
}

/** Words spread over the width on a ground of alarm; each sentence on its own line, none cut. */
function bigWords(words: string, width: number): Line[] {
  const band = (text: string): Line => [span(padTo(text, width), 'alarm')];
  const spreadOut = (text: string): string => [...text].join(' ');
  const sentences = words.split(/(?<=\.) /);
  return sentences
    .flatMap((sentence) => {
      const shown = 2 * sentence.length + 4 <= width ? spreadOut(sentence) : sentence;
      return [band(''), band(`  ${shown}`)];
    })
    .concat([band('')]);
}

/**
 * Options, none cut: in two columns where one has too few rows; where neither does, those around the chosen one, with how
 * many are above and below.
 */
function choiceLines(options: readonly string[], chosen: number, width: number, rows: number): Line[] {
  const numbered = (index: number): string => `  ${String(index + 1).padStart(2)}  `;
  const half = Math.floor((width - 2) / 2);
  const halfDo = options.every((option) => textWidth(option) + 6 <= half);
  const blocks = options.map((option, index): Line[] =>
    wrapText(option, width - 7).map((text, row): Line => {
      const whole = padTo(`${row === 0 ? numbered(index) : '      '}${text}`, width - 1);
      return [span(whole, index === chosen ? 'band' : 'plain')];
    }),
  );
  const across = blocks.flat().length > Math.max(1, rows) && halfDo && 2 * rows >= options.length ? 2 : 1;
  if (across === 1) return blocks.flat().length <= rows ? blocks.flat() : aroundChosen(blocks, chosen, rows);
  const down = Math.ceil(options.length / across);
  const cell = Math.floor((width - 2) / across);
  return Array.from({ length: down }, (_, row) =>
    Array.from({ length: across }, (_unused, column) => {
      const index = column * down + row;
      const option = options[index];
      if (option === undefined) return span('');
      return span(padTo(`${numbered(index)}${option}`, cell), index === chosen ? 'band' : 'plain');
    }),
  );
}

/** Whole options from the chosen one on, or before it as far as they fit; the last line says what else there is. */
function aroundChosen(blocks: readonly Line[][], chosen: number, rows: number): Line[] {
  let from = Math.max(0, chosen);
  let until = from + 1;
  const height = (): number => blocks.slice(from, until).flat().length;
  for (let grown = true; grown; ) {
    grown = false;
    if (until < blocks.length && height() + (blocks[until]?.length ?? 0) < rows) [until, grown] = [until + 1, true];
    else if (from > 0 && height() + (blocks[from - 1]?.length ?? 0) < rows) [from, grown] = [from - 1, true];
  }
  return [
    ...blocks.slice(from, until).flat(),
    [span(`  ${from + 1} to ${until} of ${blocks.length}: arrows show the rest`, 'dim')],
  ];
}
