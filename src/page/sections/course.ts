import type { PageFacts } from '../facts/page-facts.js';
import { type Html, html } from '../html.js';
import { heads, section, table } from './parts.js';

/** The phases one after another. */
export const phases = ({ say, phases: rows }: PageFacts): Html =>
  section(
    'phases',
    say('phases.title'),
    rows.length === 0
      ? html`<p>${say('phases.empty')}</p>`
      : table(
          say('phases.caption'),
          heads(
            say('phases.port'),
            say('phases.attempt'),
            say('phases.stage'),
            say('phases.phase'),
            say('phases.from'),
            say('phases.lasted'),
            say('phases.pressure'),
          ),
          rows.map(
            (row) =>
              html`<tr><td>${row.port}</td><td>${row.attempt}</td><td>${row.stage}</td><th scope="row">${row.phase}</th><td class="figure">${row.from}</td><td class="figure">${row.lasted}</td><td class="figure">${row.pressure}</td></tr>
`,
          ),
        ),
  );

/** Everything that happened. */
export const events = ({ say, events: rows }: PageFacts): Html =>
  section(
    'events',
    say('events.title'),
    rows.length === 0
      ? html`<p>${say('events.empty')}</p>`
      : table(
          say('events.caption'),
          heads(say('events.time'), say('events.where'), say('events.grade'), say('events.text')),
          rows.map(
            ({ time, where, grade, gradeWord, text }) =>
              html`<tr class="grade-${grade}"><td class="figure">${time}</td><td>${where}</td><td>${gradeWord}</td><td class="wide">${text}</td></tr>
`,
          ),
        ),
  );
