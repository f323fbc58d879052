import type { Finding, TestPlan } from '../../plan-types.js';
import type { PortFigures, StageFigures } from '../figures.js';
import type { Grounds } from './findings-of.js';
import { difference, flow, kelvin, percent, seconds, thermal } from './marks.js';

/** Can the allowed decay be told from none, in this time, with this gauge, at this oil temperature. */
export function decayFindings({ figures, plan }: Grounds): Finding[] {
  const boundK = figures.assumed.unmeasuredTemperatureK;
  return figures.ports.flatMap((port) =>
    port.stages.flatMap((stage) => [
      ...resolvable(port, stage, boundK),
      ...warmth(port, stage),
      ...settling(port, stage, plan),
    ]),
  );
}

/** The plain drop with a settling limit below the allowed decay: what leaks too much never settles, and never gets its fail. */
function settling(port: PortFigures, stage: StageFigures, plan: TestPlan): Finding[] {
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

function resolvable(port: PortFigures, stage: StageFigures, boundK: number): Finding[] {
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
function cure(stage: StageFigures, boundK: number): string {
  if (stage.dwellNeededS !== null && stage.dwellNeededS > stage.dwellS)
    return `It needs a dwell of ${seconds(stage.dwellNeededS)}, or the oil temperature logged.`;
  if (stage.allowedDropPa >= 2 * stage.smallestDropKnownTemperaturePa)
    return `An oil temperature unknown to within ${kelvin(boundK)} does this: log it.`;
  return 'A longer dwell does not help: use a gauge with finer steps or better stability.';
}

function limitInWords({ governing, allowedDropPa }: StageFigures): string {
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

function warmth(port: PortFigures, stage: StageFigures): Finding[] {
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
