import type { Finding, PortPlan } from '../../plan-types.js';
import type { PlanFigures } from '../figures.js';
import type { Grounds } from './findings-of.js';
import { flow } from './marks.js';

/** Where job and procedure do not quite agree, or leave something unsaid. */
export function jobFindings(grounds: Grounds): Finding[] {
  return [
    ...portsFindings(grounds),
    ...sourceFindings(grounds),
    ...trappedFindings(grounds),
    ...presenceFindings(grounds),
    ...unitFindings(grounds),
  ];
}

function portsFindings({ procedure, plan }: Grounds): Finding[] {
  const held = plan.ports.map(({ port }) => port);
  const missing = procedure.ports.filter((port) => !held.includes(port));
  const wanted = procedure.ports.filter((port) => held.includes(port));
  const ordered = held.filter((port) => wanted.includes(port));
  const findings: Finding[] = [];
  if (missing.length > 0)
    findings.push({
      grade: 'warn',
      code: 'port-missing',
      text: `Procedure "${procedure.id}" holds ports ${procedure.ports.join(' then ')}; this test leaves out ${missing.join(' and ')}.`,
    });
  if (ordered.join() !== wanted.join())
    findings.push({
      grade: 'warn',
      code: 'port-order',
      text: `Procedure "${procedure.id}" holds ports ${procedure.ports.join(' then ')}; the job has them as ${held.join(' then ')}.`,
    });
  return findings;
}

function sourceFindings({ procedure, plan }: Grounds): Finding[] {
  if (/^example/i.test(procedure.source))
    return [
      {
        grade: 'warn',
        code: 'limit-without-author',
        text: `Procedure "${procedure.id}" still has example figures as its limits: put in the customer's, and name his paper in "source".`,
      },
    ];
  if (plan.procedure.asShipped) return [];
  return [
    {
      grade: 'note',
      code: 'procedure-own',
      text: `Procedure "${procedure.id}" revision ${procedure.revision} is the shop's own, not one that is shipped; its limits are by: ${procedure.source}`,
    },
  ];
}

function trappedFindings({ job, plan, procedure }: Grounds): Finding[] {
  if (procedure.subject === 'plugged lines') return [];
  const findings: Finding[] = [];
  const held = job.ports.filter(({ port }) => plan.ports.some((planned) => planned.port === port));
  const shared = held.filter((port) => port.trappedVolumeM3 === undefined);
  if (job.trapped.volumeM3 !== undefined && shared.length > 1)
    findings.push({
      grade: 'warn',
      code: 'trapped-shared',
      text: 'One trapped volume stands for both ports, whose chambers differ: give each [[port]] its own trapped_volume.',
    });
  for (const port of held)
    if (port.lineVolumeM3 === undefined && port.trappedVolumeM3 === undefined && job.trapped.volumeM3 === undefined)
      findings.push({
        grade: 'note',
        code: 'line-volume-not-stated',
        port: port.port,
        text: 'The job states no line volume: leak rates come out too low by its share of the oil.',
      });
  return findings;
}

/** Without the oil that goes in, a shut valve gives the best trace of all. */
function presenceFindings({ job, procedure, plan, figures }: Grounds): Finding[] {
  const { pumpFlowM3PerS, boosterStrokeM3 } = job.bench;
  if (procedure.subject === 'plugged lines' || boosterStrokeM3 !== undefined) return [];
  if (pumpFlowM3PerS !== undefined) return plan.ports.flatMap((port) => onItsRelief(port, figures, pumpFlowM3PerS));
  return [
    {
      grade: 'warn',
      code: 'cylinder-not-provable',
      text: 'The job states neither pump_flow nor booster_stroke: a shut valve or a hose without a cylinder holds for ever and will not show. State one in [bench], or measure the oil that goes in.',
    },
  ];
}

/** A pump that is far too quick for the plan's rise works on its relief valve: what it delivers is not what went in. */
function onItsRelief(planned: PortPlan, { ports }: PlanFigures, flowM3PerS: number): Finding[] {
  const port = ports.find((one) => one.port === planned.port);
  if (!planned.stiffness.flowAtMost || !port?.pumpS) return [];
  const mostPaPerS = Math.min(...planned.stages.map(({ rampMaxPaPerS }) => rampMaxPaPerS));
  return [
    {
      grade: 'note',
      code: 'pump-on-relief',
      port: planned.port,
      text: `The pump's ${flow(flowM3PerS)} would raise the pressure by {rate:${Number((port.testPa / port.pumpS).toPrecision(4))}}, and at most {rate:${mostPaPerS}} is allowed: most of it leaves over the relief valve, so its flow can show a shut valve but not that the cylinder is there. Count the strokes of a booster (booster_stroke), or measure the oil that goes in.`,
    },
  ];
}

/** Two unit systems on one bench: no fault, but a figure misread by a factor of 14.5 is. */
function unitFindings({ procedure, plan }: Grounds): Finding[] {
  const { unit } = plan.gauge;
  if (unit === undefined) return [];
  const inches = unit === 'psi' || unit === 'ksi';
  const other = procedure.stages.find(({ target }) => target.of === 'itself' && /psi|ksi/.test(target.text) !== inches);
  if (!other) return [];
  return [
    {
      grade: 'note',
      code: 'two-units',
      stage: other.name,
      text: `The gauge shows ${unit}, the procedure says "${other.target.text}": read the target off this plan, not off the procedure.`,
    },
  ];
}
