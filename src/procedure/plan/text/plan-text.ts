import { driftM } from '../../../hydraulics/index.js';
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
  kelvin,
  modulus,
  percent,
  pressure,
  seconds,
  thermal,
  times,
  volume,
} from '../findings/marks.js';
import { findingLines } from './finding-lines.js';
import { bearerWords, minutesOf, pistonStands } from './port-words.js';
import { pressurePicture } from './pressure-picture.js';
import { wrap } from './wrap.js';

/** Drift is told over this time, s. */
const driftS = 600;
const millimetres = (m: number): string => `{length:${m}}`;
const labelWidth = 20;
/** A longer stage name is cut in the table, and whole elsewhere. */
const longestName = 22;

/**
 * A plan as a person reads it: lines of at most 80 columns, in his units. What stops the test, then the figures, port by
 * port, then the other findings, the gravest first.
 */
export function planLines(figures: PlanFigures, findings: readonly Finding[], system: UnitSystem): string[] {
  const { gauge } = figures;
  const due = gauge.calibrationDue === null ? 'calibration not on file' : `calibration due ${gauge.calibrationDue}`;
  const head = [
    ...wrapped(`Plan for ${figures.workOrder}: cylinder ${figures.cylinder}`, 0, 2),
    ...wrapped(figures.procedure, 0, 2),
    ...wrapped(
      `Gauge ${gauge.serial}: ${pressure(gauge.rangeLowPa)} to ${pressure(gauge.rangeHighPa)}, steps of ${difference(gauge.resolutionPa)}, good to ${difference(gauge.accuracyPa)}, ${due}`,
      0,
      2,
    ),
  ];
  const beside = (figures.others ?? []).flatMap(({ serial, gives, calibrationDue }) =>
    wrapped(
      `Gauge ${serial}: ${gives}; ${calibrationDue === null ? 'calibration not on file' : `calibration due ${calibrationDue}`}`,
      0,
      2,
    ),
  );
  const stops = findings.filter(({ grade }) => grade === 'stop');
  const others = findings.filter(({ grade }) => grade !== 'stop');
  return [
    ...head,
    ...beside,
    ...findingLines('STOP', stops, system),
    ...figures.ports.flatMap((port) => portLines(port, figures)),
    ...(findings.length === 0 ? ['', 'Nothing speaks against this test.'] : findingLines('FINDINGS', others, system)),
  ];

  function wrapped(text: string, first: number, rest: number): string[] {
    return wrap(spell(text, system), first, rest);
  }

  function entry(label: string, text: string): string[] {
    const [first = '', ...more] = wrapped(text, labelWidth, labelWidth);
    return [`  ${label}`.padEnd(labelWidth) + first.slice(labelWidth), ...more];
  }

  function portLines(port: PortFigures, { assumed }: PlanFigures): string[] {
    const { trapped } = port;
    const other = port.port === 'A' ? 'B' : 'A';
    const strokes =
      port.boosterStrokes === null
        ? ''
        : `, ${port.boosterStrokes} booster stroke${port.boosterStrokes === 1 ? '' : 's'}`;
    const pump = port.pumpS === null ? '' : `, ${seconds(port.pumpS)} of pump flow`;
    const air = port.storedAirJ > 0 ? ` in oil, ${energy(port.storedAirJ)} in air` : '';
    return [
      '',
      figures.subject === 'plugged lines'
        ? `PORT ${port.port}: plugged lines, no cylinder`
        : `PORT ${port.port}: ${port.position === 'no piston' ? 'vessel' : `piston ${pistonStands(port)}`}`,
      ...entry(
        'Test pressure',
        `${pressure(port.testPa)}, ${times(port.testPa / port.ratedPa)} x the rated ${pressure(port.ratedPa)}; never above ${pressure(port.overpressurePa)}`,
      ),
      ...entry('Relief valve', `${stated(port)}set to about ${pressure(port.reliefWantedPa)}, never above the maximum`),
      ...benchEntries(port),
      ...entry(
        'Oil shut in',
        `${volume(trapped.volumeM3)} ± ${volume(2 * trapped.volumeUM3)}, stiffness ${modulus(trapped.bulkModulusPa)} ± ${modulus(2 * trapped.bulkModulusUPa)} (95 %)`,
      ),
      ...entry(
        'Oil to fill',
        `${volume(port.fillM3)}${port.fillS === null ? '' : `, ${seconds(port.fillS)} of pump flow`}, before any pressure`,
      ),
      ...entry(
        'Oil to pump',
        `${volume(port.oilM3)} ± ${volume(2 * port.oilUM3)} (95 %), ${volume(port.oilQuickM3)} when pumped quickly${strokes}${pump}`,
      ),
      ...entry(
        'Oil temperature',
        `${thermal(trapped.thermalPaPerK)}; unless logged, taken as steady to ${kelvin(assumed.unmeasuredTemperatureK)} over a dwell`,
      ),
      ...entry('Expected time', timeText(port)),
      ...entry('Stored energy', `${energy(port.storedOilJ)}${air}`),
      ...(port.rodForceN > 0 ? entry('End thrust', `${force(port.rodForceN)} on ${bearerWords(port)}`) : []),
      ...strokesEntry(port),
      ...(port.ringsPa === undefined ? [] : entry('In retract rings', `up to ${pressure(port.ringsPa)}`)),
      ...(port.oppositePa === null ? [] : entry(`At closed port ${other}`, `up to ${pressure(port.oppositePa)}`)),
      ...entry('Covers', port.covers.join(', ')),
      ...entry('Does not cover', port.notCovered.join(', ')),
      ...(port.remarks.length === 0 ? [] : entry('Mind', port.remarks.join(' '))),
      '',
      ...stageTable(port.stages),
      ...entry('As leakage', port.stages.map((stage) => leakText(stage, port, figures.dropsPerMl)).join('; ')),
      ...collectedEntry(port),
      ...port.stages.flatMap(dwellNeeded),
      ...port.stages.flatMap(levels),
      '',
      ...pressurePicture(port, system),
      '  / ramp   . settle   = dwell   \\ bleed-down',
    ];
  }

  function stated({ bench: { reliefPa } }: PortFigures): string {
    return reliefPa === null ? '' : `at ${pressure(reliefPa)}; `;
  }

  /** What can come to the port, and how much of what each part bears that is, the weakest first. */
  function benchEntries({ bench, testPa, rodRestrained, rodForceN }: PortFigures): string[] {
    const { pumpPa, stallPa, mostPa, parts } = bench;
    const sources = [
      ...(pumpPa === null ? [] : [`pump ${pressure(pumpPa)}`]),
      ...(stallPa === null ? [] : [`booster stalls at ${pressure(stallPa)}`]),
      ...(mostPa === null ? [] : [`at most ${pressure(mostPa)} can come`]),
    ];
    const comesPa = Math.max(mostPa ?? 0, testPa);
    const borne = [
      ...parts.map(({ name, ratedPa }) => ({ text: `${name} ${pressure(ratedPa)}`, share: comesPa / ratedPa })),
      ...(rodRestrained && figures.rodEndN !== undefined
        ? [{ text: `rod end ${force(figures.rodEndN)}`, share: (rodForceN * comesPa) / testPa / figures.rodEndN }]
        : []),
    ].sort((a, b) => b.share - a.share);
    return [
      ...(sources.length === 0 ? [] : entry('Bench', sources.join(', '))),
      ...(borne.length === 0
        ? []
        : entry('Bears', borne.map(({ text, share }) => `${text} (${percent(share)})`).join(', '))),
    ];
  }

  /** From the first rise to the bleed-down, pumped as fast as the plan allows. */
  function timeText(port: PortFigures): string {
    const aboutS = minutesOf(port);
    const counted = port.stages.every(({ judge }) => judge === 'leak');
    return counted
      ? `about ${seconds(aboutS)}: a dwell counts from the last rise. Where heat and a leak still look alike the screen asks for longer`
      : `about ${seconds(aboutS)}, and as long as the pressure takes to settle`;
  }

  function strokesEntry({ strokes }: PortFigures): string[] {
    if (!strokes || strokes.wanted === 0) return [];
    const { breakAwayMaxPa, dragMaxPa, source } = strokes.limits ?? {};
    const most = [
      ...(breakAwayMaxPa === undefined ? [] : [`break-away at most ${pressure(breakAwayMaxPa)}`]),
      ...(dragMaxPa === undefined ? [] : [`drag at most ${pressure(dragMaxPa)}`]),
    ];
    const limited = most.length === 0 ? '' : `; ${most.join(', ')} (${source})`;
    const rest = `the gauge at zero for ${seconds(strokes.restS)} before each`;
    return entry('Slow strokes', `${strokes.wanted}, below ${pressure(strokes.belowPa)}, ${rest}${limited}`);
  }

  function stageTable(stages: readonly StageFigures[]): string[] {
    const rows = [
      [`Stage, ${shownUnit(system.pressure)}`, 'Target', 'Dwell starts at', 'Dwell', 'Allowed', 'Resolves', 'Gauge'],
      ...stages.map((stage) => [
        stage.name.length > longestName ? `${stage.name.slice(0, longestName - 1)}…` : stage.name,
        bare(pressure(stage.targetPa)),
        `${bare(pressure(stage.lowPa))} to ${bare(pressure(stage.highPa))}`,
        spell(seconds(stage.dwellS), system),
        stage.allowedDropPa === null ? 'by looking' : bare(difference(stage.allowedDropPa)),
        bare(difference(stage.smallestDropPa)),
        `${times(stage.gaugeRatio)} x`,
      ]),
    ];
    const widths = rows.reduce<number[]>(
      (most, row) => row.map((cell, at) => Math.max(most[at] ?? 0, cell.length)),
      [],
    );
    return rows.map((row) => `  ${row.map((cell, at) => cell.padEnd(widths[at] ?? 0)).join('  ')}`.trimEnd());
  }

  /** A figure without its unit, where the head of the table has it. */
  function bare(mark: string): string {
    return spell(mark, system).split('\u00a0')[0] ?? '';
  }

  function leakText(
    { name, allowedLeakM3PerS, smallestLeakM3PerS }: StageFigures,
    { rodForceN, testPa }: PortFigures,
    dropsPerMl: number,
  ): string {
    const smallest = `smallest detectable ${flow(smallestLeakM3PerS)}`;
    if (allowedLeakM3PerS === null) return `${name}: none allowed or forbidden, judged by looking; ${smallest}`;
    const drift =
      rodForceN > 0
        ? `, ${millimetres(driftM(allowedLeakM3PerS * driftS, rodForceN / testPa))} of rod drift in 10 min`
        : '';
    return `${name}: allowed ${flow(allowedLeakM3PerS)} (${dropsPerMin(allowedLeakM3PerS, dropsPerMl)}${drift}), ${smallest}`;
  }

  function collectedEntry({ port, collected }: PortFigures): string[] {
    if (collected === undefined) return [];
    const most = collected.lessThan ? '' : 'at most ';
    const rate = collected.volumeM3 / collected.overS;
    return entry(
      'Oil collected',
      `${most}${collectedAmount(collected)} at port ${port === 'A' ? 'B' : 'A'}, ${flow(rate)} (${dropsPerMin(rate, figures.dropsPerMl)}): decides. Set by: ${collected.source}`,
    );
  }

  function levels(stage: StageFigures): string[] {
    return [
      ...(stage.voidAbovePa === null
        ? []
        : entry('Void above', `${stage.name}: ${pressure(stage.voidAbovePa)}; bleed to zero and start again`)),
      ...(stage.neverBelowPa === null
        ? []
        : entry('Never below', `${stage.name}: ${pressure(stage.neverBelowPa)} during the dwell`)),
    ];
  }

  function dwellNeeded(stage: StageFigures): string[] {
    if (stage.governing?.kind !== 'leak' && stage.governing?.kind !== 'rate') return [];
    const needed = stage.dwellNeededS === null ? 'more than a day' : `at least ${seconds(stage.dwellNeededS)}`;
    return entry('Dwell needed', `${stage.name}: ${needed}, to pass a cylinder with half the allowed decay`);
  }
}
