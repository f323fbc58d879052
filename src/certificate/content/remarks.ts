import type { HoldEvent, HoldEventCode } from '../../holdtest/index.js';
import type { CertificateInput } from '../input.js';
import type { Figures } from '../words/figures.js';
import type { Words } from '../words/words.js';
import { notLookedAt } from './not-looked-at.js';
import { everyAttempt } from './tell-story.js';

/** Events that are deviations whatever their grade. */
const alwaysTold: ReadonlySet<HoldEventCode> = new Set(['forced', 'note', 'dwell-early-end', 'stopped', 'interrupted']);

/** So many event lines are printed; the attached record has them all. */
const eventLinesShown = 30;

/**
 * Everything that departed from the plain course: findings, overruling, retests, forced steps, alarms, reservations.
 * @param firstUs time of the first reading, microseconds
 */
export function remarkLines(
  input: Pick<CertificateInput, 'header' | 'result' | 'corrections' | 'declaration'>,
  firstUs: number,
  words: Words,
  figures: Figures,
): readonly string[] {
  const attempts = everyAttempt(input.result.ports);
  const told = attempts
    .flatMap((attempt) => attempt.events)
    .filter((event) => event.grade !== 'note' || alwaysTold.has(event.code))
    .toSorted((a, b) => a.timeUs - b.timeUs);
  const lines = [
    ...correctionLines(input, words, figures),
    ...notLookedAt(input.header, input.result).map(({ demand, of }) =>
      demand === 'calibration'
        ? words.say('sentence.gauge-not-calibrated', { gauge: of })
        : words.say('sentence.not-inspected', { port: of }),
    ),
    ...logLines(input.header, words, figures),
    ...findingLines(input, words, figures),
    ...attempts.flatMap((attempt) =>
      attempt.repeat === null
        ? []
        : [
            words.say('sentence.repeat', {
              attempt: attempt.attempt,
              port: attempt.port,
              cause: words.say(attempt.repeat.cause === 'failed' ? 'sentence.repeat-failed' : 'sentence.repeat-bench'),
              reason: figures.spelled(attempt.repeat.reason),
            }),
          ],
    ),
    ...input.result.ports.flatMap((port) =>
      port.earlierAttempts.map((attempt) =>
        words.say('sentence.attempt', {
          port: attempt.port,
          attempt: attempt.attempt,
          verdict: words.say(`verdict.${attempt.verdict}`).toLowerCase(),
          reason: figures.spelled(attempt.reason),
        }),
      ),
    ),
    ...told.slice(0, eventLinesShown).map((event) => eventLine(event, firstUs, words, figures)),
    ...(told.length > eventLinesShown
      ? [words.say('sentence.more-events', { count: told.length - eventLinesShown })]
      : []),
    ...input.result.ports.flatMap((port) =>
      port.stages.flatMap((stage) =>
        stage.flags.map((flag) =>
          words.say('sentence.flag', {
            port: port.port,
            stage: words.term(stage.name),
            text: figures.spelled(flag.text),
          }),
        ),
      ),
    ),
  ];
  const declared =
    input.declaration === undefined ? [] : [words.say('sentence.declaration', { text: input.declaration })];
  return [...declared, ...(lines.length === 0 ? [words.say('sentence.no-remarks')] : lines)];
}

/** Words about the order that were wrong when the test was made. */
const correctionLines = (
  { corrections = [] }: Pick<CertificateInput, 'corrections'>,
  words: Words,
  figures: Figures,
): readonly string[] =>
  corrections.flatMap(({ changes, by, at, reason }) =>
    changes.map(({ what, from, to }) =>
      words.say('sentence.corrected', {
        what: words.say(correctedLabel[what]),
        ...{ from, to, by, reason },
        date: figures.date(at),
      }),
    ),
  );

const correctedLabel = {
  customer: 'label.customer',
  workOrder: 'label.work-order',
  address: 'label.customer',
} as const;

/** How a recorded log was read: what decides what its figures mean. */
function logLines({ gauge, origin }: CertificateInput['header'], words: Words, figures: Figures): readonly string[] {
  const { log, source, startedAt } = gauge;
  if (origin !== 'imported' || log === undefined) return [];
  return [
    words.say('sentence.log', { source, hash: log.sha256, columns: log.columns.join('; '), count: log.leftOut }),
    ...(log.ambientPa === undefined
      ? []
      : [words.say('sentence.log-absolute', { ambient: figures.pressure(log.ambientPa) })]),
    ...(startedAt === undefined ? [words.say('sentence.log-undated')] : []),
  ];
}

function findingLines(input: Pick<CertificateInput, 'header'>, words: Words, figures: Figures): readonly string[] {
  return input.header.findings
    .filter((finding) => finding.grade !== 'note')
    .map((finding) => {
      const text = figures.spelled(finding.text);
      return finding.overruled === undefined
        ? words.say('sentence.finding', { finding: text })
        : words.say('sentence.overruled', { finding: text, by: finding.overruled.by, why: finding.overruled.why });
    });
}

/** Minutes and seconds on the time axis of the chart: since the first reading. */
function eventLine(event: HoldEvent, firstUs: number, words: Words, figures: Figures): string {
  const seconds = Math.round((event.timeUs - firstUs) / 1e6);
  return words.say('sentence.event', {
    time: `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}\u00a0min`,
    port: event.port,
    phase: words.term(event.phase),
    text: figures.spelled(event.text),
  });
}
