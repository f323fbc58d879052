import type { GaugeSpec } from '../../gauge-spec.js';
import type { Finding } from '../../plan-types.js';
import type { PortFigures, StageFigures } from '../figures.js';
import { gaugeAt, gaugesInTest } from '../gauges-of.js';
import { gaugeAccuracyPa } from '../resolvable.js';
import type { Grounds } from './findings-of.js';
import { difference, percent, pressure, times } from './marks.js';

/** Full scale over test pressure: ASME VIII-1 UG-102, written for dial gauges (as in force in 2021, quoted). */
const range = { least: 1.5, most: 4 } as const;
/** Where on the scale a gauge should work, and how good it should be: UFC 4-390-01, 23 July 2003. */
const working = { from: 0.25, to: 0.75, accuracyOfScale: 0.01 } as const;
/** A resolution step over the allowed decay: common practice, no source. */
const stepsInLimit = 10;
/** Is each gauge the right one: range, class, resolution. */
export function gaugeFindings({ plan, figures }: Grounds): Finding[] {
  const findings = gaugesInTest(plan).flatMap(({ spec }) => (spec === null ? [] : classFindings(spec)));
  for (const [index, port] of figures.ports.entries()) {
    const planned = plan.ports[index];
    if (!planned) continue;
    const gauge = gaugeAt(plan, planned);
    findings.push(...headroom(gauge, port), ...oppositeRange(planned.oppositeGauge, port));
    for (const stage of port.stages)
      findings.push(...rangeFindings(gauge, port, stage), ...stepFindings(gauge, port, stage));
  }
  return findings;
}

function classFindings(gauge: GaugeSpec): Finding[] {
  const scale = gaugeAccuracyPa(gauge) / gauge.rangeHighPa;
  if (scale <= working.accuracyOfScale) return [];
  return [
    {
      grade: 'warn',
      code: 'gauge-class',
      text: `Gauge ${gauge.serial} is good to ${percent(scale)} of full scale; ${percent(working.accuracyOfScale)} is wanted (UFC 4-390-01).`,
    },
  ];
}

/** A gauge at a closed port must bear what the port under test makes there. */
function oppositeRange(gauge: GaugeSpec | undefined, port: PortFigures): Finding[] {
  if (!gauge || port.oppositePa === null || port.oppositePa <= gauge.rangeHighPa) return [];
  return [
    {
      grade: 'stop',
      code: 'gauge-range',
      port: port.port,
      text: `Up to ${pressure(port.oppositePa)} may come at the closed port, beyond the full scale of gauge ${gauge.serial} there, ${pressure(gauge.rangeHighPa)}.`,
    },
  ];
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
      text: `Full scale ${full} is ${times(ratio)} times the pressure of ${target}; ${range.least} to ${range.most} times is wanted, ${pressure(range.least * stage.targetPa)} to ${pressure(range.most * stage.targetPa)} (ASME VIII-1 UG-102, for dial gauges).${band}`,
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
  const accuracyPa = gauge.accuracyOfSpan * (gauge.rangeHighPa - gauge.rangeLowPa);
  const findings: Finding[] = [];
  const { allowedDropPa } = stage;
  if (allowedDropPa !== null && gauge.resolutionPa >= allowedDropPa)
    findings.push({
      grade: 'stop',
      code: 'gauge-resolution',
      ...at,
      text: `The gauge shows steps of ${step}, and the allowed decay is ${difference(allowedDropPa)}: it can't be judged with this gauge.`,
    });
  else if (allowedDropPa !== null && gauge.resolutionPa > allowedDropPa / stepsInLimit)
    findings.push({
      grade: 'warn',
      code: 'gauge-resolution',
      ...at,
      text: `The gauge shows steps of ${step}, more than a tenth of the allowed decay of ${difference(allowedDropPa)} (common practice, no source).`,
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
