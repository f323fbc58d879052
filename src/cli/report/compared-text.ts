import type { FoundAndLeft, HoldsCompared } from '../../audit/index.js';
import type { Shop } from '../../bench/index.js';
import type { ComparisonContent, FactGroup } from '../../certificate/index.js';
import { isoWithOffset, type StoredTest } from '../../record/index.js';
import { formatNumber, shownUnit, spell, type UnitSystem, valueIn } from '../../units/index.js';
import { wrapped } from './result-text.js';

/** What the words mean and what the figures rest on: under the table in the terminal, small on the page. */
const means = [
  "Better, worse: the difference is larger than its uncertainty. Same: it is smaller, and with its uncertainty no more than a quarter of the allowed leak. Can't tell: neither.",
  'Uncertainties at 95 %. The leak as found is taken to the pressure and oil temperature of the hold as left, by a law between a narrow gap and a hole. Volume and stiffness of the oil are common to both holds where both plans state the same; air in the oil, noise, drift and temperature are not.',
];

const leak = (value: number, u: number, system: UnitSystem): string => {
  const [figure, plusMinus] = [valueIn(value, 'flow', system.flow), valueIn(u, 'flow', system.flow)];
  const decimals = Math.min(4, Math.max(1, 1 - Math.floor(Math.log10(Math.max(plusMinus, 1e-4)))));
  return `${formatNumber(figure, decimals)} ± ${formatNumber(plusMinus, decimals)} ${shownUnit(system.flow)}`;
};

const conditions = ({ atPa, atK }: HoldsCompared, system: UnitSystem): string =>
  spell(`{pressure:${atPa}}, ${atK === null ? 'oil temperature not measured' : `oil at {temperature:${atK}}`}`, system);

const nameOf = ({ header: { cylinder } }: StoredTest): string =>
  [cylinder.serial, [cylinder.maker, cylinder.model].filter((part) => part !== '').join(' ')]
    .filter((part) => part !== '')
    .join(', ');

const about = ({ header }: StoredTest): string =>
  [
    header.test,
    header.startedAt.slice(0, 10),
    ...(header.facts?.purpose === undefined ? [] : [header.facts.purpose]),
    `work order ${header.workOrder}`,
    `gauge ${header.plan.gauge.serial}`,
    header.technician,
  ].join(', ');

/** The pair in lines for a person. */
export function comparedLines({ found, left, stages, notes }: FoundAndLeft, system: UnitSystem): string[] {
  return [
    ...wrapped(`As found, as left: cylinder ${nameOf(left)}`, 0),
    ...wrapped(`as found  ${about(found)}`, 2),
    ...wrapped(`as left   ${about(left)}`, 2),
    ...(left.header.facts?.workDone === undefined ? [] : wrapped(`work done ${left.header.facts.workDone}`, 2)),
    ...stages.flatMap(({ port, stage, compared, why, foundVerdict, leftVerdict }) => [
      '',
      ...(compared === null
        ? wrapped(`Port ${port}, ${stage}: not compared, ${why}`, 0)
        : [
            ...wrapped(`Port ${port}, ${stage} at ${conditions(compared, system)}`, 0),
            `  as found    ${leak(compared.foundM3PerS, compared.foundUM3PerS, system)}, ${foundVerdict}`,
            `  as left     ${leak(compared.leftM3PerS, compared.leftUM3PerS, system)}, ${leftVerdict}`,
            `  difference  ${leak(compared.differenceM3PerS, compared.differenceUM3PerS, system)}: ${compared.word.toUpperCase()}`,
          ]),
    ]),
    '',
    ...[...notes, ...means].flatMap((note) => wrapped(note, 0)),
  ];
}

/** The same as one page to hand over. */
export function comparedPage(pair: FoundAndLeft, shop: Shop, system: UnitSystem, now: Date): ComparisonContent {
  const { found, left, stages, notes } = pair;
  const fact = (label: string, value: string) => ({ label, value });
  const test = (title: string, { header }: StoredTest): FactGroup => ({
    title,
    facts: [
      fact('Test', header.test),
      fact('Date', header.startedAt.slice(0, 10)),
      ...(header.facts?.purpose === undefined ? [] : [fact('Purpose', header.facts.purpose)]),
      fact('Work order', header.workOrder),
      ...(header.condition === '' ? [] : [fact('Condition', header.condition)]),
      ...(header.facts?.workDone === undefined ? [] : [fact('Work done', header.facts.workDone)]),
      fact('Gauge', header.plan.gauge.serial),
      fact('Tested by', header.technician),
    ],
  });
  const { customer, cylinder } = left.header;
  const title = 'As found, as left';
  const createdAt = isoWithOffset(now);
  const simulated = [found, left].some(({ header }) => header.origin === 'simulated');
  return {
    shop: left.header.shop,
    title,
    underTitle: [`Cylinder ${cylinder.serial}`, `Printed ${createdAt.slice(0, 10)}`],
    logo: null,
    code: `DWELLMARK ${found.header.test} ${found.head?.toUpperCase()} ${left.header.test} ${left.head?.toUpperCase()}`,
    metadata: {
      title: `${title}: ${cylinder.serial}`,
      subject: 'Two pressure hold tests of a hydraulic cylinder compared',
      author: left.header.shop.name,
      keywords: [found, left].map(({ header, head }) => `${header.test} sha256 ${head}`).join(', '),
      createdAt,
    },
    language: 'en',
    paper: shop.paper,
    accent: shop.accent,
    pageOf: 'Page {page} of {pages}',
    endMark: 'End of comparison',
    everyPage: simulated ? ['Simulated gauge: not evidence about a real cylinder.'] : [],
    acrossEveryPage: null,
    rows: [
      [
        {
          title: 'Cylinder',
          facts: [
            fact('Serial no.', cylinder.serial),
            fact('Make, model', [cylinder.maker, cylinder.model].filter((part) => part !== '').join(', ') || '–'),
            fact('Customer', customer),
          ],
        },
        test('As found', found),
        test('As left', left),
      ],
      ...stages.map(({ port, stage, compared, why, foundVerdict, leftVerdict }): FactGroup[] =>
        compared === null
          ? [{ title: `Port ${port}, ${stage}`, facts: [fact('Not compared', why ?? '')] }]
          : [
              {
                title: `Port ${port}, ${stage}: ${compared.word}`,
                facts: [fact('Difference', leak(compared.differenceM3PerS, compared.differenceUM3PerS, system))],
              },
              {
                title: 'Leak rate as found',
                facts: [
                  fact('Leak rate', leak(compared.foundM3PerS, compared.foundUM3PerS, system)),
                  fact('Verdict', foundVerdict),
                ],
              },
              {
                title: 'Leak rate as left',
                facts: [
                  fact('Leak rate', leak(compared.leftM3PerS, compared.leftUM3PerS, system)),
                  fact('Verdict', leftVerdict),
                  fact('At', conditions(compared, system)),
                ],
              },
            ],
      ),
    ],
    notes: {
      title: 'Notes',
      lines: [
        ...notes,
        'This page compares two tests and is no certificate; each test has its own paper. It says nothing of parts that the holds did not load.',
      ],
    },
    small: [
      ...means,
      `Records: ${[found, left].map(({ header, head }) => `${header.test}, SHA-256 ${head}`).join('; ')}.`,
    ],
  };
}
