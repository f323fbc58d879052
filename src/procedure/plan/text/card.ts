import { shownUnit, spell, type UnitSystem } from '../../../units/index.js';
import type { Finding } from '../../plan-types.js';
import type { PlanFigures, PortFigures, StageFigures } from '../figures.js';
import {
  collectedAmount,
  difference,
  dropsPerMin,
  energy,
  flow,
  force,
  percent,
  pressure,
  seconds,
  times,
  volume,
} from '../findings/marks.js';
import { findingLines } from './finding-lines.js';
import { bearerWords, minutesOf, pistonStands } from './port-words.js';
import { columns, wrap } from './wrap.js';

const labelWidth = 18;
const gap = 2;

/** One row of the card: a label, and what stands at each port. */
type Row = readonly [label: string, of: (port: PortFigures) => string];

/**
 * A plan as the card that is pinned to the bench, one screen of 80 columns: whose cylinder, the dangers, what stops the test
 * or speaks against it, then the ports side by side and the stages. Notes and all other figures are left to `planLines`.
 * @param dangers sentences that stand first, figures in SI
 */
export function cardLines(
  figures: PlanFigures,
  findings: readonly Finding[],
  dangers: readonly string[],
  system: UnitSystem,
): string[] {
  const { gauge, ports } = figures;
  const spelled = (text: string): string => spell(text, system);
  const stops = findings.filter(({ grade }) => grade === 'stop');
  const warnings = findings.filter(({ grade }) => grade === 'warn');
  const notes = findings.length - stops.length - warnings.length;
  const due = (date: string | null): string => (date === null ? 'calibration not on file' : `calibration due ${date}`);
  const title = [`${figures.workOrder}: ${figures.cylinder}`, figures.procedure].flatMap((text) => wrap(text, 0, 2));
  const gauges = [
    `Gauge ${gauge.serial}: ${pressure(gauge.rangeLowPa)} to ${pressure(gauge.rangeHighPa)}, ${due(gauge.calibrationDue)}`,
    ...(figures.others ?? []).map(
      ({ serial, gives, calibrationDue }) => `Gauge ${serial}: ${gives}; ${due(calibrationDue)}`,
    ),
  ].flatMap((text) => wrap(spelled(text), 0, 2));
  return [
    ...title,
    ...gauges,
    '',
    'DANGER',
    ...dangers.flatMap((text) => wrap(`- ${spelled(text)}`, 1, 3)),
    ...findingLines('STOP: do not begin', stops, system),
    ...findingLines('WARNINGS', warnings, system),
    '',
    ...portTable(),
    '',
    ...stageTable(),
    '',
    ...wrap(`${notes} ${notes === 1 ? 'note' : 'notes'}, steps and every figure: dwellmark plan JOB --full`, 0, 2),
  ];

  function portTable(): string[] {
    const head = ports.map(({ port }) => `PORT ${port}`);
    const rows = figures.subject === 'plugged lines' ? lineRows : [...cylinderRows, ...lineRows, ...coverRows];
    return [
      ...cells('', head),
      ...rows.flatMap(([label, of]) => {
        const texts = ports.map((port) => spelled(of(port)));
        if (texts.every((text) => text === '')) return [];
        return cells(label, texts.every((text) => text === texts[0]) ? texts.slice(0, 1) : texts);
      }),
    ];
  }

  /** A label and its cells side by side, each wrapped in its own column; a single one takes the whole width. */
  function cells(label: string, texts: readonly string[]): string[] {
    const width = Math.floor((columns - labelWidth - gap * (texts.length - 1)) / texts.length);
    const wrapped = texts.map((text) => wrap(text, 0, 0, width));
    return Array.from({ length: Math.max(...wrapped.map(({ length }) => length)) }, (_, row) => {
      const first = (row === 0 ? `  ${label}` : '').padEnd(labelWidth);
      return `${first}${wrapped.map((lines) => (lines[row] ?? '').padEnd(width)).join(' '.repeat(gap))}`.trimEnd();
    });
  }

  /** The stages of each port, their limits over the dwell and as a leakage. */
  function stageTable(): string[] {
    const [unit, flowUnit] = [shownUnit(system.pressure), shownUnit(system.flow)];
    const head = [`Stage, ${unit}`, 'Target', 'Dwell starts at', 'Dwell', 'Allowed', flowUnit, 'drops/min'];
    const table = [head, ...ports.flatMap((port) => port.stages.map((stage) => stageRow(port, stage)))];
    const widths = table.reduce<number[]>(
      (most, row) => row.map((cell, at) => Math.max(most[at] ?? 0, cell.length)),
      [],
    );
    return table.map((row) => `  ${row.map((cell, at) => cell.padEnd(widths[at] ?? 0)).join('  ')}`.trimEnd());
  }

  function stageRow({ port }: PortFigures, stage: StageFigures): string[] {
    const { name, allowedDropPa, allowedLeakM3PerS } = stage;
    const bare = (mark: string): string => spelled(mark).split('\u00a0')[0] ?? '';
    const limits =
      allowedDropPa === null || allowedLeakM3PerS === null
        ? ['by looking', '', '']
        : [
            bare(difference(allowedDropPa)),
            bare(flow(allowedLeakM3PerS)),
            dropsPerMin(allowedLeakM3PerS, figures.dropsPerMl).split(' ')[0] ?? '',
          ];
    return [
      `${port} ${name.length > longestName ? `${name.slice(0, longestName - 1)}…` : name}`,
      bare(pressure(stage.targetPa)),
      `${bare(pressure(stage.lowPa))} to ${bare(pressure(stage.highPa))}`,
      spelled(seconds(stage.dwellS)),
      ...limits,
    ];
  }
}

/** A longer stage name is cut. */
const longestName = 14;

const cylinderRows: readonly Row[] = [['Piston', (port) => (port.position === 'no piston' ? '' : pistonStands(port))]];

const lineRows: readonly Row[] = [
  [
    'Test pressure',
    ({ testPa, ratedPa }) => `${pressure(testPa)}, ${times(testPa / ratedPa)} x the rated ${pressure(ratedPa)}`,
  ],
  ['Never above', ({ overpressurePa }) => pressure(overpressurePa)],
  ['Relief valve', reliefSetting],
  ['Can come', sources],
  ['Weakest part', weakest],
  ['Retract rings', ({ ringsPa }) => (ringsPa === undefined ? '' : `up to ${pressure(ringsPa)}`)],
  ['At closed port', ({ oppositePa }) => (oppositePa === null ? '' : `up to ${pressure(oppositePa)}`)],
  ['End thrust', (port) => (port.rodForceN > 0 ? `${force(port.rodForceN)} on ${bearerWords(port)}` : '')],
  ['Stored energy', ({ storedOilJ, storedAirJ }) => energy(storedOilJ + storedAirJ)],
  ['Oil to fill', ({ fillM3, fillS }) => `${volume(fillM3)}${fillS === null ? '' : `, pump ${seconds(fillS)}`}`],
  ['Oil to pressure', oilToPressure],
  ['Fall by heat', ({ heatFallPa }) => `up to ${difference(heatFallPa)} if pumped quickly`],
  ['Time', (port) => `about ${seconds(minutesOf(port))}`],
  [
    'Slow strokes',
    ({ strokes }) => (strokes && strokes.wanted > 0 ? `${strokes.wanted}, below ${pressure(strokes.belowPa)}` : ''),
  ],
  ['Oil collected', collected],
];

const coverRows: readonly Row[] = [['Not tested', ({ notCovered }) => notCovered.join(', ')]];

/** As it is stated, where that is above the test pressure and no higher than the maximum; else what to set it to. */
function reliefSetting({ bench: { reliefPa }, testPa, overpressurePa, reliefWantedPa }: PortFigures): string {
  if (reliefPa !== null && reliefPa > testPa && reliefPa <= overpressurePa) return `${pressure(reliefPa)}, as stated`;
  return `set to about ${pressure(reliefWantedPa)}`;
}

function sources({ bench: { pumpPa, stallPa, mostPa } }: PortFigures): string {
  if (mostPa === null) return '';
  const from = [
    ...(pumpPa === null ? [] : [`pump ${pressure(pumpPa)}`]),
    ...(stallPa === null ? [] : [`booster stalls at ${pressure(stallPa)}`]),
  ];
  return `${pressure(mostPa)}${from.length === 0 ? '' : ` (${from.join(', ')})`}`;
}

function weakest({ bench: { parts, mostPa }, testPa }: PortFigures): string {
  const comesPa = Math.max(mostPa ?? 0, testPa);
  const [least] = parts.toSorted((a, b) => a.ratedPa - b.ratedPa);
  return least ? `${least.name}, ${pressure(least.ratedPa)}: loaded to ${percent(comesPa / least.ratedPa)}` : '';
}

function oilToPressure({ oilM3, boosterStrokes, pumpS }: PortFigures): string {
  if (boosterStrokes !== null)
    return `${volume(oilM3)}, ${boosterStrokes} booster ${boosterStrokes === 1 ? 'stroke' : 'strokes'}`;
  return `${volume(oilM3)}${pumpS === null ? '' : `, pump ${seconds(pumpS)}`}`;
}

function collected(port: PortFigures): string {
  if (port.collected === undefined) return '';
  return `${port.collected.lessThan ? '' : 'at most '}${collectedAmount(port.collected)} at port ${port.port === 'A' ? 'B' : 'A'}: decides`;
}
