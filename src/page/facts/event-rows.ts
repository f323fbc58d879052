import { everyAttempt, type Figures, type Words } from '../../certificate/index.js';
import type { TestResult } from '../../evaluation/index.js';
import type { HoldEvent } from '../../holdtest/index.js';
import type { SayPage } from '../words/page-words.js';
import { clockText } from './clock-text.js';

/** An event as it is told. */
export interface EventRow {
  readonly time: string;
  readonly where: string;
  readonly grade: HoldEvent['grade'];
  readonly gradeWord: string;
  readonly text: string;
}

/** Everything that happened but the turn of phases, in order. */
export const toldEvents = (result: TestResult): readonly HoldEvent[] =>
  everyAttempt(result.ports)
    .flatMap(({ events }) => events)
    .filter(({ code }) => code !== 'phase')
    .toSorted((a, b) => a.timeUs - b.timeUs);

export const eventRows = (
  result: TestResult,
  firstUs: number,
  words: Words,
  figures: Figures,
  say: SayPage,
): readonly EventRow[] =>
  toldEvents(result).map((event) => ({
    time: clockText((event.timeUs - firstUs) / 1e6),
    where: say('page.port-stage', {
      port: event.port,
      stage: words.term(event.stage ?? event.phase),
    }),
    grade: event.grade,
    gradeWord: say(`events.grade.${event.grade}`),
    text: figures.spelled(event.text),
  }));
