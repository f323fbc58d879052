import { judgeStored, testChecker } from '../../audit/index.js';
import { judgedDrop } from '../../evaluation/index.js';
import { type Html, heads, html, table, verdictMark } from '../../page/index.js';
import type { Store, StoredTest } from '../../record/index.js';
import { spell, type UnitSystem, unitSystems } from '../../units/index.js';
import type { Desk } from '../desk.js';
import { frame } from '../frame.js';

/** Two tests beside each other: figures in one table, both records below. */
export function comparePage(desk: Desk, store: Store, a: string, b: string): Html {
  const check = testChecker(store, judgeStored);
  const pair = [check(a), check(b)] as const;
  const system = unitSystems[desk.shop.units];
  const serials = new Set(pair.map(({ header }) => header.cylinder.serial));
  return frame(
    desk,
    '/tests',
    `${a} beside ${b}`,
    { wide: true },
    serials.size > 1 ? html`<p class="notice">These are two cylinders: ${[...serials].join(' and ')}.</p>` : null,
    table(
      'Results beside each other',
      heads('', ...pair.map(({ header }) => `${header.test}, ${header.startedAt.slice(0, 10)}`)),
      rows(pair, system).map(
        ([label, left, right]) =>
          html`<tr${left === right ? null : html` class="strong"`}><th scope="row">${label}</th><td>${left}</td><td>${right}</td></tr>
`,
      ),
    ),
    html`<p>${pair.map(({ result, header }) => html`${result ? verdictMark(result.verdict, `${header.test}: ${result.verdict}`) : `${header.test}: not sealed`} `)}</p>
<div class="pair">${pair.map(
      ({ header, head }) =>
        head !== null &&
        html`<iframe class="record" src="/tests/${encodeURIComponent(header.test)}/record#chart" title="The record of ${header.test}"></iframe>`,
    )}</div>`,
  );
}

type Row = readonly [label: string, left: string, right: string];

function rows(pair: readonly [StoredTest, StoredTest], system: UnitSystem): Row[] {
  const plain: Row[] = [
    both('Gauge', pair, ({ header }) => header.plan.gauge.serial),
    both('Procedure', pair, ({ header }) => `${header.plan.procedure.id} ${header.plan.procedure.revision}`),
    both('Technician', pair, ({ header }) => header.technician),
    both('Condition', pair, ({ header }) => header.condition),
  ];
  const stages = new Set(
    pair.flatMap(({ result }) =>
      (result?.ports ?? []).flatMap(({ port, stages: all }) => all.map(({ name }) => `${port} ${name}`)),
    ),
  );
  for (const stage of stages)
    for (const [label, text] of figures)
      plain.push(both(`Port ${stage}: ${label}`, pair, (test) => spell(text(stageOf(test, stage)), system)));
  return plain;
}

const both = (label: string, [a, b]: readonly [StoredTest, StoredTest], of: (test: StoredTest) => string): Row => [
  label,
  of(a) || '–',
  of(b) || '–',
];

type Stage = NonNullable<StoredTest['result']>['ports'][number]['stages'][number] | undefined;

const stageOf = ({ result }: StoredTest, wanted: string): Stage =>
  result?.ports
    .flatMap(({ port, stages }) => stages.map((stage) => ({ key: `${port} ${stage.name}`, stage })))
    .find(({ key }) => key === wanted)?.stage;

const figures: readonly (readonly [label: string, text: (stage: Stage) => string])[] = [
  ['verdict', (stage) => stage?.verdict ?? ''],
  ['start', (stage) => (stage?.startPa == null ? '' : `{pressure:${stage.startPa}}`)],
  [
    'drop',
    (stage) => {
      const judged = stage && judgedDrop(stage);
      return judged ? `{difference:${judged.dropPa}} ± {difference:${judged.uncertaintyPa}}` : '';
    },
  ],
  [
    'leak',
    (stage) => (stage?.leakM3PerS == null ? '' : `{flow:${stage.leakM3PerS}} ± {flow:${stage.leakUncertaintyM3PerS}}`),
  ],
  ['allowed drop', (stage) => (stage?.allowedDropPa == null ? '' : `{difference:${stage.allowedDropPa}}`)],
  ['likely', (stage) => stage?.diagnosis?.likely.join('; ') ?? ''],
];
