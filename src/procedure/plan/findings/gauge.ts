import type { GaugeSpec } from '../../gauge-spec.js';
import type { Finding } from '../../plan-types.js';
import type { PortFigures, StageFigures } from '../figures.js';
import type { Grounds } from './findings-of.js';
import { difference, percent, pressure, times } from './marks.js';

/** Full scale over test pressure, ASME VIII-1 UG-102. */
const range = { least: 1.5, most: 4 } as const;
/** Where on the scale a gauge should work, and how good it should be: UFC 4-390-01. */
const working = { from: 0.25, to: 0.75, accuracyOfScale: 0.01 } as const;
/** A resolution step over the allowed decay: common practice, no source. */
const stepsInLimit = 10;
/** Days before calibration ends at which it is worth a note: the program's own choice. */
const calibrationNoticeDays = 30;

/** Is the gauge the right one: range, class, resolution, calibration. */
export function gaugeFindings({ plan, figures, on }: Grounds): Finding[] {
  const { gauge } = plan;
  const scale = figures.gauge.accuracyPa / gauge.rangeHighPa;
  const findings: Finding[] = [];
  if (scale > working.accuracyOfScale)
    findings.push({
      grade: 'warn',
      code: 'gauge-class',
      text: `Gauge ${gauge.serial} is good to ${percent(scale)} of full scale; ${percent(working.accuracyOfScale)} is wanted (UFC 4-390-01).`,
    });
  for (const port of figures.ports) {
    findings.push(...headroom(gauge, port));
    for (const stage of port.stages)
      findings.push(...rangeFindings(gauge, port, stage), ...stepFindings(gauge, port, stage));
  }
  return [...findings, ...calibrationFindings(gauge, on), ...correctionFindings(gauge)];
}

function rangeFindings(gauge: GaugeSpec, port: PortFigures, stage: StageFigures): Finding[] {
  const at = { port: port.port, stage: stage.name };
  const full = pressure(gauge.rangeHighPa);
  const target = pressure(stage.targetPa);
  if (stage.targetPa > gauge.rangeHighPa)
    return [
      {
        grade: 'stop',
        code: 'gauge-range',
        ...at,
        text: `The target of ${target} is beyond the gauge's full scale of ${full}.`,
      },
    ];
  const ratio = stage.gaugeRatio;
  if (ratio >= range.least && ratio <= range.most) return [];
  const highest = stage.targetPa === port.testPa;
  const share = 1 / ratio;
  const band =
    share < working.from || share > working.to
      ? ` It stands at ${percent(share)} of the scale; a quarter to three quarters is wanted (UFC 4-390-01).`
      : '';
  return [
    {
      grade: highest ? 'warn' : 'note',
      code: 'gauge-range',
      ...at,
      text: `Full scale ${full} is ${times(ratio)} times the pressure of ${target}; ${range.least} to ${range.most} times is wanted, ${pressure(range.least * stage.targetPa)} to ${pressure(range.most * stage.targetPa)} (ASME VIII-1 UG-102).${band}`,
    },
  ];
}

function headroom(gauge: GaugeSpec, port: PortFigures): Finding[] {
  if (port.overpressurePa <= gauge.rangeHighPa || port.testPa > gauge.rangeHighPa) return [];
  return [
    {
      grade: 'warn',
      code: 'gauge-headroom',
      port: port.port,
      text: `The gauge ends at ${pressure(gauge.rangeHighPa)}, below the overpressure limit of ${pressure(port.overpressurePa)}: an overshoot would not be seen.`,
    },
  ];
}

/** The step against the limit, and the class against the band in which the dwell may start. */
function stepFindings(gauge: GaugeSpec, port: PortFigures, stage: StageFigures): Finding[] {
  const at = { port: port.port, stage: stage.name };
  const step = difference(gauge.resolutionPa);
  const limit = difference(stage.allowedDropPa);
  const accuracyPa = gauge.accuracyOfSpan * (gauge.rangeHighPa - gauge.rangeLowPa);
  const findings: Finding[] = [];
  if (gauge.resolutionPa >= stage.allowedDropPa)
    findings.push({
      grade: 'stop',
      code: 'gauge-resolution',
      ...at,
      text: `The gauge shows steps of ${step}, and the allowed decay is ${limit}: it can't be judged with this gauge.`,
    });
  else if (gauge.resolutionPa > stage.allowedDropPa / stepsInLimit)
    findings.push({
      grade: 'warn',
      code: 'gauge-resolution',
      ...at,
      text: `The gauge shows steps of ${step}, more than a tenth of the allowed decay of ${limit} (common practice, no source).`,
    });
  if (accuracyPa > stage.targetPa - stage.lowPa)
    findings.push({
      grade: 'note',
      code: 'gauge-level',
      ...at,
      text: `The gauge is good to ${difference(accuracyPa)}, wider than the ${difference(stage.targetPa - stage.lowPa)} below ${pressure(stage.targetPa)} at which the dwell may start.`,
    });
  return findings;
}

function calibrationFindings(gauge: GaugeSpec, on: string | null): Finding[] {
  const found = (grade: Finding['grade'], code: string, text: string): Finding[] => [{ grade, code, text }];
  const { calibration, serial } = gauge;
  if (!calibration) return found('warn', 'calibration-missing', `No calibration of gauge ${serial} is on file.`);
  if (on === null) return [];
  const days = daysBetween(on, calibration.due);
  if (days < 0)
    return found(
      'stop',
      'calibration-expired',
      `Gauge ${serial}: calibration ${calibration.certificate} was due ${calibration.due}, ${-days} days before ${on}.`,
    );
  if (on < calibration.date)
    return found(
      'warn',
      'calibration-later',
      `Gauge ${serial}: calibration ${calibration.certificate} is dated ${calibration.date}, after ${on}.`,
    );
  if (days > calibrationNoticeDays) return [];
  return found('note', 'calibration-due', `Gauge ${serial}: calibration is due ${calibration.due}, in ${days} days.`);
}

/**
 * Corrections are listed and not applied: the record keeps what the gauge showed, a drop on one gauge hardly knows of
 * them, and the accuracy class, which covers them, stands in full in the uncertainty of every level.
 */
function correctionFindings({ calibration, serial }: GaugeSpec): Finding[] {
  const largestPa = Math.max(0, ...(calibration?.corrections ?? []).map(({ addPa }) => Math.abs(addPa)));
  if (calibration === undefined || largestPa === 0) return [];
  return [
    {
      grade: 'note',
      code: 'calibration-corrections',
      text: `Gauge ${serial}: the corrections of calibration ${calibration.certificate} (up to ${difference(largestPa)}) are listed and not applied; readings stay as the gauge shows them.`,
    },
  ];
}

const daysBetween = (from: string, to: string): number =>
  Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / 86_400_000);
