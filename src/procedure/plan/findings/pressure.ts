import type { Finding } from '../../plan-types.js';
import type { PortFigures } from '../figures.js';
import { reliefOverTest } from '../port-figures.js';
import type { Grounds } from './findings-of.js';
import { collectedAmount, energy, force, percent, pressure, times } from './marks.js';

/** Test over rated pressure, the program's own rule, no source: above each it warns. Only a stated maximum stops. */
const overRated = { unusual: 1.5, most: 2 } as const;
/** A relief valve this much over the wanted setting is too high to protect: the program's own choice. */
const reliefSlack = 1.05;

/** What the pressure may do to cylinder, bench and people. */
export const pressureFindings = (grounds: Grounds): Finding[] =>
  grounds.figures.ports.flatMap((port) => [
    ...closedPort(grounds, port),
    ...cup(grounds, port),
    ...aboveProof(grounds, port),
    ...weakestPart(grounds, port),
    ...relief(grounds, port),
    ...stored(port),
  ]);

function closedPort({ job, procedure }: Grounds, port: PortFigures): Finding[] {
  if (port.oppositePa === null || procedure.subject !== 'cylinder') return [];
  const at = { port: port.port };
  const other = port.port === 'A' ? 'B' : 'A';
  const ratedPa = job.cylinder.ratedPressurePa;
  const ratio = times(port.oppositePa / port.testPa);
  const figures = `${pressure(port.testPa)} at ${port.port} makes up to ${pressure(port.oppositePa)} at the closed port ${other} (areas ${ratio} to 1)`;
  const findings: Finding[] = [];
  if (port.oppositePa > ratedPa)
    findings.push({
      grade: 'stop',
      code: 'intensification',
      ...at,
      text: `${figures}, above the rated pressure of ${pressure(ratedPa)}. Open port ${other} to a tray.`,
    });
  else findings.push({ grade: 'note', code: 'intensification', ...at, text: `${figures}, within the rated pressure.` });
  if (port.opposite === 'blocked')
    findings.push({
      grade: 'warn',
      code: 'piston-seal-hidden',
      ...at,
      text:
        port.position === 'mid-stroke restrained'
          ? `Past a leaking piston seal both chambers move together, and port ${other} is blocked without a gauge: this hold does not show it.`
          : `With port ${other} blocked this hold can claim nothing about the piston seal: oil that passes it fills the dead volume, and the pressure then holds (geometry).`,
    });
  return findings;
}

/** Oil can only be collected where it can come out. */
function cup({ procedure }: Grounds, port: PortFigures): Finding[] {
  const at = { port: port.port };
  const other = port.port === 'A' ? 'B' : 'A';
  if (port.collected !== undefined && port.opposite !== 'open')
    return [
      {
        grade: 'stop',
        code: 'nothing-to-collect',
        ...at,
        text: `The procedure judges by the oil collected, at most ${collectedAmount(port.collected)}, and port ${other} is closed: open it to a cup.`,
      },
    ];
  if (procedure.limits.collected === null || port.collected !== undefined || procedure.subject !== 'cylinder')
    return [];
  return [
    {
      grade: 'note',
      code: 'nothing-to-collect',
      ...at,
      text: 'The procedure judges by the oil collected, and no oil can pass a piston here: everything else decides.',
    },
  ];
}

function aboveProof({ job, procedure }: Grounds, port: PortFigures): Finding[] {
  if (procedure.subject !== 'cylinder') return [];
  const { ratedPressurePa } = job.cylinder;
  const over = port.testPa / ratedPressurePa;
  const figures = `${pressure(port.testPa)} is ${times(over)} times the rated ${pressure(ratedPressurePa)}`;
  const finding = (grade: Finding['grade'], rule: string): Finding[] => [
    { grade, code: 'above-proof', port: port.port, text: `${figures}; ${rule}` },
  ];
  const statedPa = job.testPressureMaxPa;
  if (statedPa !== undefined)
    return port.testPa > statedPa * (1 + 1e-9)
      ? finding('stop', `this cylinder may be tested up to ${pressure(statedPa)} (job: cylinder.test_pressure_max).`)
      : [];
  if (over > overRated.most + 1e-9)
    return finding(
      'warn',
      `more than ${overRated.most} times is seldom meant (our own rule, no standard). Check both pressures for a slip of units. If its maker allows it, state cylinder.test_pressure_max.`,
    );
  if (over > overRated.unusual + 1e-9)
    return finding(
      'warn',
      `more than ${overRated.unusual} times is unusual (our own rule, no standard). Make sure that its maker allows it.`,
    );
  return [];
}

function weakestPart({ job }: Grounds, port: PortFigures): Finding[] {
  const { weakestPartPa, reliefPa } = job.bench;
  if (weakestPartPa === undefined) return [];
  const at = { port: port.port };
  const weakest = `the weakest part of the bench, rated ${pressure(weakestPartPa)} (job: bench.weakest_part)`;
  if (port.testPa > weakestPartPa)
    return [
      {
        grade: 'stop',
        code: 'weakest-part',
        ...at,
        text: `The test pressure of ${pressure(port.testPa)} is above ${weakest}.`,
      },
    ];
  if (reliefPa !== undefined && reliefPa > weakestPartPa)
    return [
      {
        grade: 'stop',
        code: 'relief-above-weakest',
        ...at,
        text: `The relief valve at ${pressure(reliefPa)} opens above ${weakest}.`,
      },
    ];
  if (reliefPa === undefined && port.reliefWantedPa > weakestPartPa)
    return [
      {
        grade: 'warn',
        code: 'relief-wanted',
        ...at,
        text: `A relief setting of ${reliefOverTest} x the test pressure, ${pressure(port.reliefWantedPa)}, would be above ${weakest}: set it lower.`,
      },
    ];
  return [];
}

function relief({ job }: Grounds, port: PortFigures): Finding[] {
  const { reliefPa } = job.bench;
  const at = { port: port.port };
  const wanted = `about ${pressure(port.reliefWantedPa)}, ${reliefOverTest} x the test pressure (common practice, no source)`;
  if (reliefPa === undefined)
    return [
      { grade: 'note', code: 'relief-not-stated', ...at, text: `The job states no relief setting; wanted: ${wanted}.` },
    ];
  if (reliefPa <= port.testPa)
    return [
      {
        grade: 'warn',
        code: 'relief-low',
        ...at,
        text: `The relief valve at ${pressure(reliefPa)} opens before the test pressure of ${pressure(port.testPa)} is reached; wanted: ${wanted}.`,
      },
    ];
  if (reliefPa > reliefSlack * port.reliefWantedPa)
    return [
      {
        grade: 'warn',
        code: 'relief-high',
        ...at,
        text: `The relief valve at ${pressure(reliefPa)} is set to ${percent(reliefPa / port.testPa)} of the test pressure; wanted: ${wanted}.`,
      },
    ];
  return [];
}

function stored(port: PortFigures): Finding[] {
  const at = { port: port.port };
  const totalJ = port.storedOilJ + port.storedAirJ;
  const air = port.storedAirJ > 0 ? `, ${energy(port.storedAirJ)} of it in trapped air` : '';
  const findings: Finding[] = [
    {
      grade: 'note',
      code: 'stored-energy',
      ...at,
      text: `At ${pressure(port.testPa)} the hold stores ${energy(totalJ)}${air}: keep everyone out of line with rod, plugs and hose ends, at the distance your local rules ask for.`,
    },
  ];
  if (port.rodRestrained)
    findings.push({
      grade: 'warn',
      code: 'restrained-rod',
      ...at,
      text: `What restrains the rod must bear ${force(port.rodForceN)} at ${pressure(port.testPa)} (pressure times area), with the margin your local rules ask for.`,
    });
  return findings;
}
