import { judgedDrop, type PortResult, type StageResult, type Verdict } from '../../evaluation/index.js';
import type { TestPlan } from '../../procedure/index.js';
import { decimalsFor, formatNumber, pressureDecimals, shownUnit, spellDuration, valueIn } from '../../units/index.js';
import { decimalsOf, type Figures } from '../words/figures.js';
import type { WordKey } from '../words/word-keys.js';
import type { Words } from '../words/words.js';
import type { ResultCell, ResultRow, ResultTable } from './content.js';

interface Column {
  readonly port: PortResult;
  readonly stage: StageResult;
}

type LimitKind = NonNullable<StageResult['governingLimit']>['kind'];
type Row = (label: string, unit: string, cell: (stage: StageResult) => ResultCell, strong?: boolean) => ResultRow;

/** The table of quantities by port and stage. `second` gives the same pressures in the other units. */
export function resultTable(
  ports: readonly PortResult[],
  plan: TestPlan,
  words: Words,
  figures: Figures,
  second: Figures | null,
): ResultTable {
  const columns: readonly Column[] = ports.flatMap((port) => port.stages.map((stage) => ({ port, stage })));
  const pressureUnit = shownUnit(figures.units.pressure);
  const row: Row = (label, unit, cell, strong = false) => ({
    label,
    unit,
    strong,
    cells: columns.map(({ stage }) => cell(stage)),
  });
  const level = (pa: number | null, u: number | null): ResultCell =>
    pressureCell(pa, u, levelDecimals, words, figures, second);
  const drop = (pa: number | null, u: number | null, stage: StageResult): ResultCell =>
    pressureCell(pa, u, (of) => dropDecimals(stage, of), words, figures, second);
  const corrected = columns.some(({ stage }) => stage.temperatureCorrected);
  const governs = (kind: LimitKind): boolean => columns.some(({ stage }) => stage.governingLimit?.kind === kind);
  const dropJudged =
    governs('drop') ||
    governs('percent') ||
    columns.every(({ stage }) => stage.governingLimit === null && !isByLooking(stage));
  const dweltLonger = dropJudged && columns.some(({ stage }) => judgedDrop(stage)?.scaled);
  const judged = (stage: StageResult): ResultCell => {
    const { dropPa, uncertaintyPa } = judgedDrop(stage) ?? { dropPa: null, uncertaintyPa: null };
    const decimals = (of: Figures): number => decimalsOf(uncertaintyPa ?? stage.targetPa / 1e3, of.units);
    return pressureCell(dropPa, uncertaintyPa, decimals, words, figures, second);
  };
  const wholeJudged = dropJudged && !dweltLonger;
  const accounted = columns.some(({ stage }) => stage.judged !== undefined);
  const dropLabel = accounted
    ? wholeJudged
      ? 'row.drop-judged'
      : 'row.drop-dwell'
    : dropLabelBefore5(wholeJudged, corrected);
  const flowUnit = shownUnit(figures.units.flow);
  return {
    title: words.say('group.results'),
    secondUnit: second === null ? null : shownUnit(second.units.pressure),
    columns: columns.map(({ port, stage }) => ({
      port: words.say('chart.port', { port: port.port }),
      stage: words.term(stage.name),
      verdict: verdictOf(port, stage),
    })),
    rows: [
      row(words.say('row.target'), pressureUnit, (stage) => level(stage.targetPa, null)),
      row(words.say('row.start'), pressureUnit, (stage) => level(stage.startPa, stage.levelUncertaintyPa)),
      row(words.say('row.end'), pressureUnit, (stage) => level(stage.endPa, stage.levelUncertaintyPa)),
      row(words.say('row.dwell'), '', (stage) => dwellCell(stage, words)),
      row(words.say('row.fall'), pressureUnit, (stage) => drop(observedDropPa(stage), null, stage)),
      ...(accounted
        ? [
            row(words.say('row.settling'), pressureUnit, (stage) =>
              stage.settlingDropPa == null ? word(words.say('row.none')) : drop(stage.settlingDropPa, null, stage),
            ),
          ]
        : []),
      row(words.say('row.thermal'), pressureUnit, (stage) =>
        stage.thermalDropPa === null ? word(words.say('row.not-measured')) : drop(stage.thermalDropPa, null, stage),
      ),
      ...(accounted ? [row(words.say('row.judged'), '', (stage) => judgedCell(stage, words))] : []),
      row(
        words.say(dropLabel),
        pressureUnit,
        (stage) => drop(stage.dropPa, stage.dropUncertaintyPa, stage),
        wholeJudged,
      ),
      ...(dweltLonger ? [row(words.say('row.drop-demanded'), pressureUnit, judged, true)] : []),
      row(words.say('row.k'), '', (stage) => numberCell(stage.coverageFactor, 2, words, figures)),
      row(
        words.say('row.allowed'),
        pressureUnit,
        (stage) => (isByLooking(stage) ? word(words.say('row.by-looking')) : drop(stage.allowedDropPa, null, stage)),
        dropJudged,
      ),
      row(words.say('row.smallest'), pressureUnit, (stage) => drop(stage.smallestResolvableDropPa, null, stage)),
      ...(governs('rate') ? rateRows(row, words, figures) : []),
      row(
        words.say(governs('leak') ? 'row.leak-judged' : 'row.leak'),
        flowUnit,
        (stage) => leakCell(stage, 1, words, figures),
        governs('leak'),
      ),
      row(words.say('row.drops', { drops: plan.dropsPerMl }), words.say('row.drops-unit'), (stage) =>
        leakCell(stage, plan.dropsPerMl, words, figures),
      ),
      ...(governs('leak')
        ? [row(words.say('row.allowed-leak'), flowUnit, (stage) => allowedLeakCell(stage, words, figures), true)]
        : []),
      row(words.say('row.decision'), '', (stage) =>
        word(isByLooking(stage) ? words.say('row.by-looking') : words.term(stage.decision)),
      ),
      {
        label: words.say('row.verdict'),
        unit: '',
        strong: true,
        cells: columns.map(({ port, stage }) => word(words.say(`verdict.${verdictOf(port, stage)}`))),
      },
    ],
  };
}

/** A dwell on whose drop no limit was set: somebody looked. */
export const isByLooking = ({ governingLimit, startPa }: StageResult): boolean =>
  governingLimit === null && startPa !== null;

/** Evaluations before 5 took out nothing but a measured oil temperature, and the label says whether. */
function dropLabelBefore5(judged: boolean, corrected: boolean): WordKey {
  if (judged) return corrected ? 'row.drop' : 'row.drop-uncorrected';
  return corrected ? 'row.drop-beside' : 'row.drop-beside-uncorrected';
}

/** The fall as the gauge read it; results before evaluation 5 have it by start and end alone. */
function observedDropPa({ plainDropPa, startPa, endPa }: StageResult): number | null {
  if (plainDropPa !== undefined) return plainDropPa;
  return startPa === null || endPa === null ? null : startPa - endPa;
}

function judgedCell(stage: StageResult, words: Words): ResultCell {
  const { judged } = stage;
  if (isByLooking(stage)) return word(words.say('row.by-looking'));
  if (judged === undefined) return word(words.say('row.none'));
  return word(words.say(judged === 'leak' ? 'row.judged-leak' : 'row.judged-plain'));
}

/** A stage within its limit is no pass where the whole port is invalid or inconclusive for a reason of its own. */
const verdictOf = (port: PortResult, stage: StageResult): Verdict =>
  port.stages.some(({ verdict }) => verdict === port.verdict) ? stage.verdict : port.verdict;

/** The rate of fall and its limit, where a rate is what is judged. */
function rateRows(row: Row, words: Words, figures: Figures): readonly ResultRow[] {
  const unit = figures.units.pressureRate;
  const rate = (paPerS: number | null, u: number | null): ResultCell => {
    if (paPerS === null) return word(words.say('row.none'));
    const shown = (si: number): number => valueIn(si, 'pressure-rate', unit);
    const decimals = Math.min(5, decimalsFor(shown(u ?? paPerS / 100)));
    return {
      kind: 'figure',
      figure: figures.local(formatNumber(shown(paPerS), decimals)),
      plusMinus: u === null ? '' : figures.local(formatNumber(shown(u), decimals)),
      second: '',
    };
  };
  return [
    row(words.say('row.rate'), unit, (stage) => rate(stage.ratePaPerS, stage.rateUncertaintyPaPerS), true),
    row(
      words.say('row.allowed-rate'),
      unit,
      ({ governingLimit: limit }) => rate(limit?.kind === 'rate' ? limit.ratePaPerS : null, null),
      true,
    ),
  ];
}

function allowedLeakCell(
  { governingLimit: limit, leakUncertaintyM3PerS: u }: StageResult,
  words: Words,
  figures: Figures,
): ResultCell {
  if (limit?.kind !== 'leak') return word(words.say('row.none'));
  const shown = (si: number): number => valueIn(si, 'flow', figures.units.flow);
  const decimals = u === null ? 3 : Math.min(5, decimalsFor(shown(u)));
  return {
    kind: 'figure',
    figure: figures.local(formatNumber(shown(limit.leakM3PerS), decimals)),
    plusMinus: '',
    second: '',
  };
}

const word = (text: string): ResultCell => ({ kind: 'word', word: text });

const levelDecimals = (figures: Figures): number => pressureDecimals(figures.units.pressure);

function dropDecimals(stage: StageResult, figures: Figures): number {
  return decimalsOf(stage.dropUncertaintyPa ?? stage.allowedDropPa ?? stage.targetPa / 1e3, figures.units);
}

function pressureCell(
  pa: number | null,
  u: number | null,
  decimals: (of: Figures) => number,
  words: Words,
  figures: Figures,
  second: Figures | null,
): ResultCell {
  if (pa === null) return word(words.say('row.none'));
  return {
    kind: 'figure',
    figure: figures.pressureFigure(pa, decimals(figures)),
    plusMinus: u === null ? '' : figures.pressureFigure(u, decimals(figures)),
    second: second === null ? '' : second.pressureFigure(pa, decimals(second)),
  };
}

function numberCell(value: number | null, decimals: number, words: Words, figures: Figures): ResultCell {
  if (value === null) return word(words.say('row.none'));
  return { kind: 'figure', figure: figures.local(formatNumber(value, decimals)), plusMinus: '', second: '' };
}

/** A leak rate in the flow unit, or in drops a minute when `dropsPerMl` is not 1. */
function leakCell(stage: StageResult, dropsPerMl: number, words: Words, figures: Figures): ResultCell {
  if (stage.leakM3PerS === null) return word(words.say('row.none'));
  const unit = dropsPerMl === 1 ? figures.units.flow : 'mL/min';
  const u = stage.leakUncertaintyM3PerS;
  const scaled = (m3PerS: number): number => valueIn(m3PerS, 'flow', unit) * dropsPerMl;
  const decimals = u === null ? 3 : Math.min(5, decimalsFor(scaled(u)));
  return {
    kind: 'figure',
    figure: figures.local(formatNumber(scaled(stage.leakM3PerS), decimals)),
    plusMinus: u === null ? '' : figures.local(formatNumber(scaled(u), decimals)),
    second: '',
  };
}

function dwellCell(stage: StageResult, words: Words): ResultCell {
  const dwelt = stage.dwellS === null ? words.say('row.none') : spellDuration(stage.dwellS);
  const demanded = spellDuration(stage.demandedDwellS);
  return word(`${dwelt} / ${demanded}`);
}
