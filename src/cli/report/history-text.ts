import type { ComparableHolds, CylinderHistory, CylinderHold, LeakTrend } from '../../audit/index.js';
import { csvRow } from '../../audit/index.js';
import {
  formatNumber,
  formatSignificant,
  shownUnit,
  spell,
  spellDuration,
  type UnitSystem,
  valueIn,
} from '../../units/index.js';
import { paint } from '../output.js';
import { wrapped } from './result-text.js';
import { verdictWord } from './verdict-words.js';

/** A cylinder's history in lines for a person: for each port and stage its holds down the page, leak against limit. */
export function historyLines(
  history: CylinderHistory,
  groups: readonly ComparableHolds[],
  system: UnitSystem,
  width: number,
): string[] {
  const { serial, maker, model, customers, tests, unsealed } = history;
  return [
    ...wrapped(
      `Cylinder ${serial}${maker || model ? ` (${[maker, model].filter(Boolean).join(' ')})` : ''}, ${customers.join(', ')}: ${tests} test${tests === 1 ? '' : 's'}`,
      0,
    ),
    ...(unsealed.length > 0 ? wrapped(`never sealed: ${unsealed.join(', ')}`, 0) : []),
    ...groups.flatMap((group) => ['', ...groupLines(group, system, width)]),
  ];
}

function groupLines(group: ComparableHolds, system: UnitSystem, width: number): string[] {
  const unit = shownUnit(system.flow);
  const limit = group.holds.some(({ allowedLeakM3PerS }) => allowedLeakM3PerS !== null) ? '; ┆ is allowed' : '';
  const scale = scaleOf(group.holds, system, Math.max(20, width - 52));
  return [
    ...wrapped(
      spell(
        `Port ${group.port}, ${group.stage} at {pressure:${group.targetPa}}: leak in ${unit} (95 %)${limit}`,
        system,
      ),
      0,
    ).map((line) => paint(line, 'bold')),
    ...group.holds.map((hold) => holdLine(hold, scale, system)),
    ...(scale ? [`${' '.repeat(51)}${scale.axis}`] : []),
    ...group.holds.flatMap(({ test, attempt, repeatedBecause }) =>
      repeatedBecause === null ? [] : wrapped(`${test}, attempt ${attempt}, was made because of ${repeatedBecause}`, 2),
    ),
    ...trendLines(group, system).flatMap((line) => wrapped(line, 2)),
  ];
}

function holdLine(hold: CylinderHold, scale: Scale | null, system: UnitSystem): string {
  const { test, startedAt, attempt, verdict, voided, leakM3PerS: leak, leakUncertaintyM3PerS: leakU } = hold;
  const name = `${test}${attempt > 1 ? `/${attempt}` : ''}`.padEnd(13);
  const word = voided ? 'void' : shortWord[verdict];
  const figure = leak === null || leakU === null ? 'none had' : leakText(leak, leakU, system);
  const dots = scale && leak !== null && leakU !== null ? scale.row(leak, leakU, hold.allowedLeakM3PerS) : '';
  const coloured = voided ? word.padEnd(6) : verdictWord(verdict).replace(verdict.toUpperCase(), word.padEnd(6));
  return `  ${name} ${startedAt.slice(0, 10)}  ${coloured} ${figure.padStart(16)} ${dots}`;
}

/** So short that the chart keeps its room. */
const shortWord = { pass: 'PASS', fail: 'FAIL', inconclusive: 'INCONC', invalid: 'INVAL' } as const;

function leakText(leak: number, leakU: number, system: UnitSystem): string {
  const [value, u] = [valueIn(leak, 'flow', system.flow), valueIn(leakU, 'flow', system.flow)];
  const decimals = Math.min(4, Math.max(1, 1 - Math.floor(Math.log10(Math.max(u, 1e-4)))));
  return `${formatNumber(value, decimals)} ± ${formatNumber(u, decimals)}`;
}

interface Scale {
  readonly row: (leak: number, leakU: number, allowed: number | null) => string;
  readonly axis: string;
}

/** A common scale for a group's leaks: zero, the limit, and every whisker lie on it. */
function scaleOf(holds: readonly CylinderHold[], system: UnitSystem, cells: number): Scale | null {
  const ends = holds.flatMap(({ leakM3PerS: leak, leakUncertaintyM3PerS: u, allowedLeakM3PerS: allowed }) =>
    leak === null || u === null ? [] : [leak - u, leak + u, ...(allowed === null ? [] : [allowed])],
  );
  if (ends.length === 0) return null;
  const [low, high] = [Math.min(0, ...ends), Math.max(0, ...ends)];
  const at = (value: number): number => Math.round(((value - low) / (high - low || 1)) * (cells - 1));
  const row = (leak: number, leakU: number, allowed: number | null): string => {
    const line = Array.from({ length: cells }, () => ' ');
    line[at(0)] = '│';
    if (allowed !== null) line[at(allowed)] = '┆';
    for (let cell = at(leak - leakU); cell <= at(leak + leakU); cell += 1) line[cell] = '─';
    line[at(leak)] = '●';
    return line.join('').trimEnd();
  };
  const top = formatSignificant(valueIn(high, 'flow', system.flow), 2);
  return { row, axis: `${' '.repeat(at(0))}0${top.padStart(Math.max(0, cells - at(0) - 1))}` };
}

function trendLines({ trend, sinceLast, holds }: ComparableHolds, system: UnitSystem): string[] {
  if (!trend)
    return [holds.length < 2 ? 'one hold: no trend' : 'no trend: fewer than two comparable leaks at different times'];
  const change = (of: LeakTrend): string => spell(`{flow:${of.change}} ± {flow:${of.changeU}}: ${of.word}`, system);
  const over = trend.spanS >= 2 * 86_400 ? `${Math.round(trend.spanS / 86_400)} days` : spellDuration(trend.spanS);
  return [
    `trend over ${trend.holds} holds in ${over}: ${change(trend)}`,
    ...(sinceLast && trend.holds > 2 ? [`the newest against the one before: ${change(sinceLast)}`] : []),
  ];
}

/** A row a hold, numbers in SI. */
export function historyCsv({ serial, holds }: CylinderHistory): string {
  const keys = [
    ...(['test', 'startedAt', 'workOrder', 'procedure', 'gauge', 'voided', 'testVerdict', 'port', 'attempt'] as const),
    ...(['repeatedBecause', 'stage', 'verdict', 'targetPa', 'dwellS', 'dropPa', 'dropUncertaintyPa'] as const),
    ...(['allowedDropPa', 'leakM3PerS', 'leakUncertaintyM3PerS', 'allowedLeakM3PerS'] as const),
  ];
  return [['serial', ...keys], ...holds.map((hold) => [serial, ...keys.map((key) => hold[key])])].map(csvRow).join('');
}
