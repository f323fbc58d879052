import type { PortResult, StageResult } from '../../evaluation/index.js';
import type { TestPlan } from '../../procedure/index.js';
import { decimalsFor, formatNumber, pressureDecimals, shownUnit, spellDuration, valueIn } from '../../units/index.js';
import { decimalsOf, type Figures } from '../words/figures.js';
import type { Words } from '../words/words.js';
import type { ResultCell, ResultRow, ResultTable } from './content.js';

interface Column {
  readonly port: PortResult;
  readonly stage: StageResult;
}

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
  const row = (label: string, unit: string, cell: (stage: StageResult) => ResultCell, strong = false): ResultRow => ({
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
  return {
    title: words.say('group.results'),
    secondUnit: second === null ? null : shownUnit(second.units.pressure),
    columns: columns.map(({ port, stage }) => ({
      port: words.say('chart.port', { port: port.port }),
      stage: words.term(stage.name),
      verdict: stage.verdict,
    })),
    rows: [
      row(words.say('row.target'), pressureUnit, (stage) => level(stage.targetPa, null)),
      row(words.say('row.start'), pressureUnit, (stage) => level(stage.startPa, stage.levelUncertaintyPa)),
      row(words.say('row.end'), pressureUnit, (stage) => level(stage.endPa, stage.levelUncertaintyPa)),
      row(words.say('row.dwell'), '', (stage) => dwellCell(stage, words)),
      row(words.say('row.fall'), pressureUnit, (stage) =>
        drop(stage.startPa === null || stage.endPa === null ? null : stage.startPa - stage.endPa, null, stage),
      ),
      row(words.say('row.thermal'), pressureUnit, (stage) =>
        stage.thermalDropPa === null ? word(words.say('row.not-measured')) : drop(stage.thermalDropPa, null, stage),
      ),
      row(
        words.say(corrected ? 'row.drop' : 'row.drop-uncorrected'),
        pressureUnit,
        (stage) => drop(stage.dropPa, stage.dropUncertaintyPa, stage),
        true,
      ),
      row(words.say('row.k'), '', (stage) => numberCell(stage.coverageFactor, 2, words, figures)),
      row(words.say('row.allowed'), pressureUnit, (stage) => drop(stage.allowedDropPa, null, stage), true),
      row(words.say('row.smallest'), pressureUnit, (stage) => drop(stage.smallestResolvableDropPa, null, stage)),
      row(words.say('row.decision'), '', (stage) => word(words.term(stage.decision))),
      row(words.say('row.leak'), shownUnit(figures.units.flow), (stage) => leakCell(stage, 1, words, figures)),
      row(words.say('row.drops', { drops: plan.dropsPerMl }), words.say('row.drops-unit'), (stage) =>
        leakCell(stage, plan.dropsPerMl, words, figures),
      ),
      row(words.say('row.verdict'), '', (stage) => word(words.say(`verdict.${stage.verdict}`)), true),
    ],
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
