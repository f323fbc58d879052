import { type PressureDifference, square, type TemperatureDifference } from '../../../units/index.js';
import type { AllowedDecay, Finding, TestPlan } from '../../plan-types.js';
import type { PortFigures, StageFigures } from '../figures.js';
import type { Grounds } from './findings-of.js';
import { difference, dropsPerMin, flow, kelvin, length, percent, seconds, thermal, times } from './marks.js';

/** Can the allowed decay be told from none, in this time, with this gauge, at this oil temperature. */
export function decayFindings(grounds: Grounds): Finding[] {
  const { figures } = grounds;
  const boundK = figures.assumed.unmeasuredTemperatureK;
  return figures.ports.flatMap((port) =>
    port.stages.flatMap((stage) => [
      ...(isLimited(stage)
        ? [
            ...resolvable(port, stage, boundK),
            ...wideForSize(port, stage, grounds),
            ...warmth(port, stage),
            ...settling(port, stage, grounds.plan),
          ]
        : looking(port, stage)),
    ]),
  );
}

/** A stage on which a figure decides. */
type Limited = StageFigures & {
  readonly governing: AllowedDecay;
  readonly allowedDropPa: PressureDifference;
  readonly allowedLeakM3PerS: number;
  readonly temperatureForLimitK: TemperatureDifference;
};

const isLimited = (stage: StageFigures): stage is Limited => stage.governing !== null;

/** Without a figure a person decides: what he can't see, this hold does not find. */
function looking(port: PortFigures, stage: StageFigures): Finding[] {
  const cup = port.collected === undefined ? '' : ', the oil collected';
  return [
    {
      grade: 'note',
      code: 'look-only',
      port: port.port,
      stage: stage.name,
      text: `The pressure drop has no limit: time, level${cup} and the inspection by the named technician decide. A leak that nobody can see is not found.`,
    },
  ];
}

/**
 * What a cylinder of this bore may leak past its piston in use, m3/s: 4 mL in 10 min for 100 mm, and as the square of
 * the bore; service manual 9803/6410 (excavator JS 130), section E, page 75-9, prints 0.6 mL in 10 min for 40 mm, 4.0 for
 * 100, 10.0 for 160 and 22.0 for 250.
 */
export const serviceLeakM3PerS = (boreM: number): number => (4e-6 / 600) * square(boreM / 0.1);

/** A limit so many times what a cylinder of its bore may leak in use is another test than was meant: our own rule. */
const wideLimit = 3;

/** The same percentage allows a small cylinder a drop and a large one a stream. */
function wideForSize(port: PortFigures, stage: Limited, { job, procedure, figures }: Grounds): Finding[] {
  const usualM3PerS = serviceLeakM3PerS(job.cylinder.boreM);
  if (
    procedure.subject === 'plugged lines' ||
    job.cylinder.kind === 'vessel' ||
    stage.allowedLeakM3PerS <= wideLimit * usualM3PerS
  )
    return [];
  return [
    {
      grade: 'warn',
      code: 'limit-wide-for-size',
      port: port.port,
      stage: stage.name,
      text: `On this cylinder the limit of ${limitInWords(stage)} lets ${flow(stage.allowedLeakM3PerS)} pass (${dropsPerMin(stage.allowedLeakM3PerS, figures.dropsPerMl)}), ${times(stage.allowedLeakM3PerS / usualM3PerS)} times the ${flow(usualM3PerS)} that a service manual allows a piston of ${length(job.cylinder.boreM)} (9803/6410, E 75-9; warned from ${wideLimit} times on, our own rule). Set leak_by_bore, or limits.collected.`,
    },
  ];
}

/** The plain drop with a settling limit below the allowed decay: what leaks too much never settles, and never gets its fail. */
function settling(port: PortFigures, stage: Limited, plan: TestPlan): Finding[] {
  const planned = plan.ports.find((one) => one.port === port.port)?.stages.find((one) => one.name === stage.name);
  const allowedPaPerS = stage.allowedDropPa / stage.dwellS;
  if (planned?.judge !== 'plain drop' || planned.stabilise.ratePaPerS > allowedPaPerS) return [];
  return [
    {
      grade: 'warn',
      code: 'settle-limit-below-decay',
      port: port.port,
      stage: stage.name,
      text: `The dwell starts below {rate:${planned.stabilise.ratePaPerS}}, but {rate:${allowedPaPerS}} is allowed in it: a leak over the limit never settles and ends inconclusive. Let it settle to above the allowed decay.`,
    },
  ];
}

function resolvable(port: PortFigures, stage: Limited, boundK: number): Finding[] {
  const at = { port: port.port, stage: stage.name };
  const { allowedDropPa, smallestDropPa } = stage;
  if (allowedDropPa >= 2 * smallestDropPa) return [];
  const never = allowedDropPa <= smallestDropPa;
  const verdict = never
    ? 'a limit below it can never give a pass'
    : 'only a cylinder well below the limit can pass, and one well above it fail';
  return [
    {
      grade: never ? 'stop' : 'warn',
      code: never ? 'limit-below-resolution' : 'limit-near-resolution',
      ...at,
      text: `The limit is ${limitInWords(stage)} over ${seconds(stage.dwellS)}; this dwell resolves ${difference(smallestDropPa)} (95 %): ${verdict}. ${cure(stage, boundK)}`,
    },
  ];
}

/** A longer dwell if one helps, else a logged oil temperature if that does, else a finer gauge. */
function cure(stage: Limited, boundK: number): string {
  if (stage.dwellNeededS !== null && stage.dwellNeededS > stage.dwellS)
    return `It needs a dwell of ${seconds(stage.dwellNeededS)}, or the oil temperature logged.`;
  if (stage.allowedDropPa >= 2 * stage.smallestDropKnownTemperaturePa)
    return `An oil temperature unknown to within ${kelvin(boundK)} does this: log it.`;
  return 'A longer dwell does not help: use a gauge with finer steps or better stability.';
}

function limitInWords({ governing, allowedDropPa }: Limited): string {
  const drop = difference(allowedDropPa);
  switch (governing.kind) {
    case 'drop':
      return drop;
    case 'percent':
      return `${percent(governing.fraction)}, ${drop},`;
    case 'rate':
      return `{rate:${Number(governing.ratePaPerS.toPrecision(7))}}, ${drop},`;
    case 'leak':
      return `${flow(governing.leakM3PerS)}, ${drop},`;
  }
}

function warmth(port: PortFigures, stage: Limited): Finding[] {
  const at = { port: port.port, stage: stage.name };
  const findings: Finding[] = [
    {
      grade: 'note',
      code: 'temperature',
      ...at,
      text: `Oil that cools by ${kelvin(stage.temperatureForLimitK)} in the dwell looks like the whole allowed decay of ${difference(stage.allowedDropPa)} (${thermal(port.trapped.thermalPaPerK)}).`,
    },
  ];
  if (stage.targetPa === port.testPa && port.heatFallPa > stage.allowedDropPa)
    findings.push({
      grade: 'note',
      code: 'heat-of-compression',
      ...at,
      text: `Pumped up quickly the oil warms by ${kelvin(port.heatOfCompressionK)}, and falls by up to ${difference(port.heatFallPa)} as that heat leaves, with no leak at all. ${stage.judge === 'plain drop' ? 'Pump slowly and let it settle.' : 'Its course tells it from a leak; pumped slowly, or with the oil temperature logged, sooner.'}`,
    });
  return findings;
}
