import { type GaugeInTest, type GaugeSpec, gaugesInTest, spokenDuty, type TestPlan } from '../../procedure/index.js';
import { formatNumber, pressureDifferencePa } from '../../units/index.js';
import type { Figures } from '../words/figures.js';
import type { Words } from '../words/words.js';
import type { Fact, FactGroup } from './content.js';

/** The one gauge of a test, for the facts of the method: what it is, its range, its calibration. */
export function gaugeFacts(plan: TestPlan, words: Words, figures: Figures): readonly Fact[] {
  const instruments = gaugesInTest(plan);
  const [only] = instruments;
  if (only === undefined || instruments.length > 1) return [];
  return [
    { label: words.say('label.gauge'), value: nameOf(only) },
    ...(only.spec === null ? [] : [{ label: words.say('label.range'), value: rangeText(only.spec, words, figures) }]),
    { label: words.say('label.calibration'), value: calibrationText(only, plan, words, figures) },
  ];
}

/** Several instruments have a group of their own, a line each: what it is, what it gave, range, calibration. */
export function gaugeGroup(plan: TestPlan, words: Words, figures: Figures): FactGroup | null {
  const instruments = gaugesInTest(plan);
  if (instruments.length < 2) return null;
  return {
    title: words.say('group.gauges'),
    facts: instruments.map((instrument) => ({
      label: nameOf(instrument),
      value: [
        instrument.duties.map((duty) => words.term(spokenDuty(duty))).join(', '),
        ...(instrument.spec === null ? [] : [rangeText(instrument.spec, words, figures)]),
        calibrationText(instrument, plan, words, figures),
      ].join('; '),
    })),
  };
}

const nameOf = ({ maker, model, serial }: GaugeInTest): string =>
  [maker, model, serial].filter((part) => part !== undefined && part !== '').join(' ');

function rangeText(gauge: GaugeSpec, words: Words, figures: Figures): string {
  const low = figures.pressure(gauge.rangeLowPa).split('\u00a0')[0];
  return words.say('sentence.range', {
    range: `${low}…${figures.pressure(gauge.rangeHighPa)}`,
    step: figures.plainDifference(gauge.resolutionPa),
    accuracy: figures.local(formatNumber(gauge.accuracyOfSpan * 100, 2).replace(/0$/, '')),
  });
}

/** A table of corrections is named with its largest, and with whether the levels on this paper carry them. */
function calibrationText({ calibration }: GaugeInTest, plan: TestPlan, words: Words, figures: Figures): string {
  if (calibration === undefined) return words.say('sentence.no-calibration');
  const text = words.say('sentence.calibration', {
    certificate: calibration.certificate,
    laboratory: calibration.laboratory,
    date: figures.date(calibration.date),
    due: figures.date(calibration.due),
  });
  const largestPa = Math.max(0, ...(calibration.corrections ?? []).map(({ addPa }) => Math.abs(addPa)));
  if (largestPa === 0) return text;
  const key = plan.corrections === 'applied' ? 'sentence.corrections-applied' : 'sentence.corrections-not-applied';
  return words.say(key, { calibration: text, largest: figures.plainDifference(pressureDifferencePa(largestPa)) });
}
