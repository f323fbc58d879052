import { phaseWord } from '../../../holdtest/index.js';
import { clock } from '../bench-figures.js';
import type { Dialogue } from '../dialogue.js';
import { type Mark, phaseMarks, type Tape } from './tape.js';

/** A place in a replay: behind an input, or a time since the beginning. */
export type GoTo = { readonly index: number } | { readonly s: number };

const byTime = 'a time';

/**
 * Seconds of a time as a person writes it, `1:02:03`, `4:30`, `270`; null when it is none.
 * @example secondsOf('4:30') // 270
 */
export function secondsOf(text: string): number | null {
  if (!/^\d+(:[0-5]?\d){0,2}([.,]\d+)?$/.test(text.trim())) return null;
  return text
    .trim()
    .replace(',', '.')
    .split(':')
    .reduce((sum, part) => 60 * sum + Number(part), 0);
}

const attemptOf = ({ port, attempt }: Mark): string => `port ${port}${attempt > 1 ? `, attempt ${attempt}` : ''}`;

/** Where to go: a phase of one of the attempts, or a time. */
export function goToDialogue(tape: Tape): Dialogue<GoTo> {
  const phases = phaseMarks(tape);
  const attempts = [...new Set(phases.map(attemptOf))];
  const inTest = (mark: Mark): string => clock((mark.timeUs - tape.startUs) / 1e6);
  const named = (mark: Mark): string =>
    `${inTest(mark)}  ${phaseWord(mark.phase)}${mark.stage === null ? '' : `, ${mark.stage}`}`;
  return {
    title: 'Go to',
    next: ([where, ...given]) => {
      const which = given.at(-1);
      if (where === undefined)
        return { question: { kind: 'choose', ask: 'Where to?', options: [...attempts, byTime] } };
      if (where === byTime) {
        const s = which === undefined ? null : secondsOf(which);
        if (s !== null) return { outcome: { s } };
        const of = clock((tape.endUs - tape.startUs) / 1e6);
        return { question: { kind: 'text', ask: `Which time, as 4:30 or in seconds? The test took ${of}.` } };
      }
      const there = phases.filter((mark) => attemptOf(mark) === where);
      const found = there.find((mark) => named(mark) === which);
      if (found) return { outcome: { index: found.index } };
      return { question: { kind: 'choose', ask: `Which phase of ${where}?`, options: there.map(named) } };
    },
  };
}
