import type { Reading } from '../../gauge/index.js';
import { type FactRow, factRows } from '../../procedure/index.js';
import type { TestHeader } from '../../record/index.js';
import { formatSignificant, shownUnit, valueIn } from '../../units/index.js';
import type { CertificateInput } from '../input.js';
import type { Figures } from '../words/figures.js';
import type { WordKey } from '../words/word-keys.js';
import type { Words } from '../words/words.js';
import type { Fact, FactGroup } from './content.js';
import { gaugeFacts } from './gauge-facts.js';

/** Lowest and highest oil temperature of a trace, kelvins; null when it was never measured. */
export interface OilRange {
  readonly lowK: number;
  readonly highK: number;
}

export function oilRange(readings: Iterable<Reading>): OilRange | null {
  let lowK = Number.POSITIVE_INFINITY;
  let highK = Number.NEGATIVE_INFINITY;
  for (const { oilK } of readings) {
    if (oilK === null) continue;
    lowK = Math.min(lowK, oilK);
    highK = Math.max(highK, oilK);
  }
  return highK >= lowK ? { lowK, highK } : null;
}

/** Item, work, and method with gauge: what was tested, for whom, how and with what. */
export function identityGroups(
  { header, procedureIsTemplate = false }: Pick<CertificateInput, 'header' | 'procedureIsTemplate'>,
  oil: OilRange | null,
  words: Words,
  figures: Figures,
): readonly FactGroup[] {
  return [
    { title: words.say('group.item'), facts: itemFacts(header, words, figures) },
    { title: words.say('group.work'), facts: workFacts(header, oil, words, figures) },
    { title: words.say('group.method'), facts: methodFacts(header, procedureIsTemplate, words, figures) },
  ];
}

function itemFacts(header: TestHeader, words: Words, figures: Figures): readonly Fact[] {
  const { cylinder } = header;
  return [
    { label: words.say('label.serial'), value: cylinder.serial },
    { label: words.say('label.maker'), value: [cylinder.maker, cylinder.model].filter(isGiven).join(', ') || '–' },
    { label: words.say('label.size'), value: sizeText(header, words, figures) },
    { label: words.say('label.rated'), value: ratedText(header, figures) },
    { label: words.say('label.condition'), value: header.condition || '–' },
    { label: words.say('label.received'), value: header.received === null ? '–' : figures.date(header.received) },
    { label: words.say('label.fluid'), value: header.fluid.name },
    ...jobFacts(header, 'item', words),
  ];
}

const factLabels = {
  part: 'label.part',
  asset: 'label.asset',
  place: 'label.machine',
  sensor: 'label.sensor',
  valves: 'label.valves',
  purpose: 'label.purpose',
  order: 'label.order',
  workDone: 'label.work-done',
  sealKit: 'label.seal-kit',
  torque: 'label.torque',
  cleanliness: 'label.cleanliness',
} as const satisfies Record<FactRow['name'], WordKey>;

/** What the job states beyond what every test has. */
const jobFacts = ({ facts = {} }: TestHeader, of: FactRow['of'], words: Words): readonly Fact[] =>
  factRows(facts)
    .filter((row) => row.of === of)
    .map(({ name, text }) => ({
      label: words.say(factLabels[name]),
      value:
        name === 'valves'
          ? words.say(facts.valves?.tested === 'with' ? 'sentence.valves-with' : 'sentence.valves-without', {
              valves: text,
            })
          : name === 'purpose'
            ? words.term(text)
            : text,
    }));

/** The cylinder's rated pressure, and that of a chamber that has its own. */
const ratedText = ({ cylinder, plan }: TestHeader, figures: Figures): string =>
  [
    figures.pressure(cylinder.ratedPressurePa),
    ...plan.ports.flatMap(({ port, ratedPa }) =>
      ratedPa === undefined ? [] : [`${port} ${figures.pressure(ratedPa)}`],
    ),
  ].join('; ');

function sizeText(header: TestHeader, words: Words, figures: Figures): string {
  const { cylinder } = header;
  const unit = shownUnit(figures.units.length);
  const stroke = figures.length(cylinder.strokeM);
  if (cylinder.stageBoresM !== undefined)
    return words.say('sentence.size-stages', {
      bores: cylinder.stageBoresM.map(figures.length).join('/'),
      stroke,
      unit,
    });
  if (cylinder.volumeM3 !== undefined) return figures.volume(cylinder.volumeM3);
  const [bore, rod] = [figures.length(cylinder.boreM), figures.length(cylinder.rodM)];
  return words.say('sentence.size', { bore, rod, stroke, unit }).replace(` ${unit}`, `\u00a0${unit}`);
}

function workFacts(header: TestHeader, oil: OilRange | null, words: Words, figures: Figures): readonly Fact[] {
  const bound = formatSignificant(
    valueIn(header.plan.unmeasuredTemperatureK, 'temperature-difference', figures.units.temperatureDifference),
    2,
  );
  const check = header.benchCheck;
  return [
    {
      label: words.say('label.customer'),
      value: [header.customer, header.customerAddress ?? ''].filter(isGiven).join('; '),
    },
    { label: words.say('label.work-order'), value: header.workOrder },
    ...jobFacts(header, 'work', words),
    {
      label: words.say('label.place'),
      value: [header.shop.address, together(header.bench)].filter(isGiven).join('; '),
    },
    { label: words.say('label.test'), value: header.test },
    { label: words.say('label.tested'), value: figures.moment(header.startedAt) },
    { label: words.say('label.technician'), value: header.technician },
    {
      label: words.say('label.oil'),
      value:
        oil === null
          ? words.say('sentence.oil-not-measured', {
              bound: `${figures.local(bound)}\u00a0${shownUnit(figures.units.temperatureDifference)}`,
            })
          : words.say('sentence.oil', {
              low: figures.temperature(oil.lowK),
              high: figures.temperature(oil.highK),
            }),
    },
    {
      label: words.say('label.bench-check'),
      value:
        check === null
          ? words.say('sentence.no-bench-check')
          : words.say('sentence.bench-check', {
              test: check.test,
              date: figures.date(check.at),
              leak: figures.flow(check.leakM3PerS),
            }),
    },
  ];
}

function methodFacts(
  header: TestHeader,
  procedureIsTemplate: boolean,
  words: Words,
  figures: Figures,
): readonly Fact[] {
  const { procedure } = header.plan;
  return [
    {
      label: words.say('label.procedure'),
      value: [
        words.say('sentence.procedure', { title: procedure.title, id: procedure.id, revision: procedure.revision }),
        ...(procedure.asShipped ? [] : [words.say(procedureIsTemplate ? 'sentence.edited' : 'sentence.own-procedure')]),
        words.say('sentence.hash', { hash: procedure.sha256.slice(0, 12) }),
      ].join('; '),
    },
    { label: words.say('label.limits-by'), value: procedure.source },
    ...gaugeFacts(header.plan, words, figures),
  ];
}

/** A short name is not broken over two lines. */
const together = (text: string): string => (text.length > 16 ? text : text.replaceAll(' ', '\u00a0'));

const isGiven = (text: string | undefined): text is string => text !== undefined && text !== '';
