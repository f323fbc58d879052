import type { PortResult, StageResult } from '../../evaluation/index.js';
import type { HoldEventCode } from '../../holdtest/index.js';
import { gaugesInTest } from '../../procedure/index.js';
import type { ChartWords, Hold, PortSpan, TraceColumns, TraceMark, TraceStory } from '../chart/trace-story.js';
import type { CertificateInput } from '../input.js';
import type { Figures } from '../words/figures.js';
import type { WordKey } from '../words/word-keys.js';
import type { Words } from '../words/words.js';

/** The events that are marked on the trace, and the word for each. */
const markedEvents: Partial<Record<HoldEventCode, WordKey>> = {
  'topped-up': 'chart.topped-up',
  inspected: 'chart.inspected',
  'valve-moved': 'chart.valve-moved',
  'data-gap': 'chart.data-gap',
  overpressure: 'chart.overpressure-event',
};

/** What the charts have to show of a test: every attempt with its phases, holds, limits and events. */
export function tellStory(
  input: Pick<CertificateInput, 'header' | 'result'>,
  trace: TraceColumns,
  words: Words,
  figures: Figures,
): TraceStory {
  const attempts = everyAttempt(input.result.ports);
  const isHeatIn = attempts.some(({ stages }) => stages.some((stage) => explainedPa(stage) !== 0));
  return {
    unit: figures.units.pressure,
    decimal: words.say('format.decimal'),
    words: { ...chartWords(input, words), allowed: words.say(isHeatIn ? 'chart.allowed-heat' : 'chart.allowed') },
    trace,
    spans: attempts.flatMap((attempt) => spanOf(attempt, attempts, input, trace, words)),
    marks: marksOf(attempts, words),
  };
}

/** Every attempt at every port, earlier ones first. */
export const everyAttempt = (ports: readonly PortResult[]): readonly PortResult[] =>
  ports.flatMap((port) => [...port.earlierAttempts, port]);

function spanOf(
  attempt: PortResult,
  all: readonly PortResult[],
  input: Pick<CertificateInput, 'header' | 'result'>,
  trace: TraceColumns,
  words: Words,
): readonly PortSpan[] {
  const phases = attempt.events.filter((event) => event.code === 'phase').toSorted((a, b) => a.timeUs - b.timeUs);
  const dwells = attempt.stages.flatMap((stage) => [stage.dwellStartUs, stage.dwellEndUs]).filter((us) => us !== null);
  const times = [...attempt.events.map((event) => event.timeUs), ...dwells];
  if (times.length === 0) return [];
  const lastReadingUs = trace.timeUs.at(-1) ?? 0;
  const ownUs = Math.min(...times);
  const isFirst = all.every((other) => other === attempt || other.events.every((event) => event.timeUs >= ownUs));
  const fromUs = isFirst ? (trace.timeUs[0] ?? 0) : ownUs;
  const laterStarts = all
    .filter((other) => other !== attempt)
    .map((other) => Math.min(...other.events.map((event) => event.timeUs)))
    .filter((us) => us > fromUs);
  const plan = input.header.plan.ports.find((port) => port.port === attempt.port);
  const label =
    attempt.attempt > 1 || attempt.earlierAttempts.length > 0 || all.some((other) => isRepeat(other, attempt))
      ? words.say('chart.port-attempt', { port: attempt.port, attempt: attempt.attempt })
      : words.say('chart.port', { port: attempt.port });
  return [
    {
      label,
      port: attempt.port,
      fromUs,
      toUs: Math.min(lastReadingUs, ...laterStarts),
      overpressurePa: plan?.overpressurePa ?? Number.NaN,
      settling: phases.flatMap((event, index) =>
        event.phase === 'stabilise' ? [{ fromUs: event.timeUs, toUs: phases[index + 1]?.timeUs ?? lastReadingUs }] : [],
      ),
      holds: attempt.stages.flatMap((stage) => holdOf(stage, label, words)),
    },
  ];
}

const isRepeat = (other: PortResult, attempt: PortResult): boolean => other !== attempt && other.port === attempt.port;

/** What the fall as read is more than the fall that is judged: heat, creep and measured temperature, Pa. */
function explainedPa({ plainDropPa, dropPa, temperatureCorrected, thermalDropPa }: StageResult): number {
  if (typeof plainDropPa === 'number' && dropPa !== null) return plainDropPa - dropPa;
  return temperatureCorrected ? (thermalDropPa ?? 0) : 0;
}

function holdOf(stage: StageResult, span: string, words: Words): readonly Hold[] {
  if (stage.dwellStartUs === null || stage.dwellEndUs === null || stage.dwellEndUs <= stage.dwellStartUs) return [];
  const explained = explainedPa(stage);
  return [
    {
      label: `${span}\u00a0· ${words.term(stage.name)}`,
      stage: stage.name,
      targetPa: stage.targetPa,
      fromUs: stage.dwellStartUs,
      toUs: stage.dwellEndUs,
      limitPa:
        stage.startPa === null || stage.allowedDropPa === null ? null : stage.startPa - stage.allowedDropPa - explained,
      fallPaPerS:
        stage.ratePaPerS === null || !stage.dwellS ? stage.ratePaPerS : stage.ratePaPerS + explained / stage.dwellS,
      fallUPaPerS: stage.rateUncertaintyPaPerS ?? 0,
    },
  ];
}

function marksOf(attempts: readonly PortResult[], words: Words): readonly TraceMark[] {
  return attempts
    .flatMap((attempt) => attempt.events)
    .flatMap((event) => {
      const key = markedEvents[event.code];
      return key === undefined ? [] : [{ timeUs: event.timeUs, text: words.say(key) }];
    })
    .toSorted((a, b) => a.timeUs - b.timeUs);
}

function chartWords(input: Pick<CertificateInput, 'header'>, words: Words): Omit<ChartWords, 'allowed'> {
  return {
    minutes: words.say('chart.minutes'),
    pressure: words.say('chart.pressure'),
    opposite: words.say('chart.opposite'),
    target: words.say('chart.target'),
    overpressure: words.say('chart.overpressure'),
    readings: words.say('chart.readings'),
    fit: words.say('chart.fit'),
    band: words.say('chart.band'),
    limit: words.say('chart.limit'),
    serials: words.say('chart.serials', {
      cylinder: input.header.cylinder.serial,
      gauge: gaugesInTest(input.header.plan)
        .flatMap(({ serial, spec }) => (spec === null ? [] : [serial]))
        .join(', '),
    }),
    stabilise: words.say('chart.stabilise'),
    dwell: words.say('chart.dwell'),
  };
}
