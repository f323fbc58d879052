import type { PortResult } from '../../evaluation/index.js';
import type { LeakObservation } from '../../holdtest/index.js';
import type { TestPlan } from '../../procedure/index.js';
import type { Figures } from '../words/figures.js';
import type { Words } from '../words/words.js';
import { collectedText } from './collected-text.js';
import type { Fact, FactGroup } from './content.js';

/** What one port's hold loaded, what was seen at it, and the checks around it. */
export function portNotes(port: PortResult, plan: TestPlan, words: Words, figures: Figures): FactGroup {
  const fact = (label: Parameters<Words['say']>[0], value: string): Fact => ({ label: words.say(label), value });
  const list = (parts: readonly string[]): string => parts.map(words.term).join(', ') || words.say('row.none');
  const portPlan = plan.ports.find((candidate) => candidate.port === port.port);
  const pressureOrNone = (pa: number | null): string => (pa === null ? words.say('row.none') : figures.pressure(pa));
  const causes = port.stages
    .filter((stage) => stage.verdict !== 'pass')
    .flatMap((stage) => stage.diagnosis?.likely ?? [])
    .filter((cause, index, all) => all.indexOf(cause) === index);
  return {
    title:
      portPlan?.position === 'no piston'
        ? words.say('chart.port', { port: port.port })
        : words.say('group.port', {
            port: port.port,
            position: [words.term(port.position), ...(portPlan?.restrained ? [words.term('restrained')] : [])].join(
              ', ',
            ),
            opposite: words.term(port.opposite),
          }),
    facts: [
      fact('label.covers', list(port.covers)),
      fact('label.not-covered', list(port.notCovered)),
      fact('label.seen', seenText(port.observations, words)),
      ...(port.collected === null ? [] : [fact('label.collected', collectedText(port.collected, words, figures))]),
      fact('label.stiffness', figures.spelled(port.stiffness.text)),
      ...breakAwayTexts(port).map((text) => fact('label.break-away', figures.spelled(text))),
      fact(
        'label.gauge-read',
        words.say('sentence.zero-and-peak', {
          before: pressureOrNone(port.zeroBeforePa),
          after: pressureOrNone(port.zeroAfterPa),
          peak: pressureOrNone(port.peakPa),
          limit: pressureOrNone(portPlan?.overpressurePa ?? null),
        }),
      ),
      ...(causes.length === 0 ? [] : [fact('label.diagnosis', figures.spelled(causes.join('; ')))]),
    ],
  };
}

/** What the slow strokes before the hold came to, and what departed from the procedure in them. */
const breakAwayTexts = ({ breakAway }: PortResult): readonly string[] =>
  breakAway ? [[breakAway.text, breakAway.deviation].filter((text) => text !== null).join('; ')] : [];

/** Oil first; what was looked at and found dry is gathered at the end. */
function seenText(observations: readonly LeakObservation[], words: Words): string {
  if (observations.length === 0) return words.say('sentence.no-observation');
  const wet = observations.filter((observation) => observation.amount !== 'dry').map((one) => observed(one, words));
  const dry = observations.filter((observation) => observation.amount === 'dry').map((one) => words.term(one.point));
  if (wet.length === 0 && dry.length === 0) return words.say('sentence.nothing-seen');
  return [...wet, ...(dry.length === 0 ? [] : [`${dry.join(', ')}: ${words.term('dry')}`])].join('; ');
}

function observed({ point, amount, drops, text }: LeakObservation, words: Words): string {
  const howMuch =
    amount === 'drops' && drops !== undefined
      ? words.say('sentence.drops-counted', { count: drops })
      : words.term(amount);
  return `${words.term(point)}: ${howMuch}${text === undefined || text === '' ? '' : ` (${text})`}`;
}
