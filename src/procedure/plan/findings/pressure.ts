import type { Finding } from '../../plan-types.js';
import { ratedAtPa } from '../bench-reach.js';
import type { PortFigures } from '../figures.js';
import type { Grounds } from './findings-of.js';
import { collectedAmount, energy, force, pressure, times } from './marks.js';

/** Test over rated pressure, the program's own rule, no source: above each it warns. Only a stated maximum stops. */
const overRated = { unusual: 1.5, most: 2 } as const;

/** What the pressure may do to cylinder, bench and people. */
export const pressureFindings = (grounds: Grounds): Finding[] =>
  grounds.figures.ports.flatMap((port) => [
    ...closedPort(grounds, port),
    ...retractRings(grounds, port),
    ...cup(grounds, port),
    ...aboveProof(grounds, port),
    ...benchParts(grounds, port),
    ...relief(grounds, port),
    ...reach(port),
    ...stored(port),
    ...endStops(grounds, port),
  ]);

function closedPort({ job, procedure }: Grounds, port: PortFigures): Finding[] {
  if (port.oppositePa === null || procedure.subject !== 'cylinder') return [];
  const at = { port: port.port };
  const other = port.port === 'A' ? 'B' : 'A';
  const ratedPa = ratedAtPa(job, other);
  const ratio = times(port.oppositePa / port.testPa);
  const figures = `${pressure(port.testPa)} at ${port.port} makes up to ${pressure(port.oppositePa)} at the closed port ${other} (areas ${ratio} to 1)`;
  const findings: Finding[] = [];
  if (port.oppositePa > ratedPa)
    findings.push({
      grade: 'stop',
      code: 'intensification',
      ...at,
      text: `${figures}, above the rated pressure of ${pressure(ratedPa)} there. Open port ${other} to a tray.`,
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

/** A double-acting telescopic cylinder intensifies between its stages, whatever is on port B. */
function retractRings({ job }: Grounds, { port, testPa, ringsPa }: PortFigures): Finding[] {
  if (ringsPa === undefined) return [];
  const ratedPa = ratedAtPa(job, 'B');
  const finding = (grade: Finding['grade'], rest: string): Finding[] => [
    {
      grade,
      code: 'retract-rings',
      port,
      text: `${pressure(testPa)} at ${port} makes up to ${pressure(ringsPa)} in the retract rings between the stages (areas ${times(ringsPa / testPa)} to 1), also with port B open, where their oil can't leave${rest}`,
    },
  ];
  if (job.retractPassages !== undefined)
    return finding('note', `. It can, by: ${job.retractPassages} (job: cylinder.retract_passages).`);
  if (ringsPa <= ratedPa) return finding('note', ', within the rated pressure.');
  return finding(
    'stop',
    `, above the rated pressure of ${pressure(ratedPa)} there. Ask the maker whether the passages stay open at every stage, and write who says so in cylinder.retract_passages.`,
  );
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
  const over = port.testPa / port.ratedPa;
  const figures = `${pressure(port.testPa)} is ${times(over)} times the rated ${pressure(port.ratedPa)}`;
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

/** Whatever can come to the port, against everything that must bear it. */
function benchParts({ job, procedure }: Grounds, port: PortFigures): Finding[] {
  const at = { port: port.port };
  const { mostPa, parts } = port.bench;
  const by = mostPa === null ? '' : cameBy(port);
  const findings = parts.flatMap(({ name, key, ratedPa }): Finding[] => {
    const part = `${name}, rated ${pressure(ratedPa)} (job: ${key})`;
    if (port.testPa > ratedPa)
      return [
        {
          grade: 'stop',
          code: 'weakest-part',
          ...at,
          text: `The test pressure of ${pressure(port.testPa)} is above ${part}.`,
        },
      ];
    if (mostPa === null || mostPa <= ratedPa) return [];
    return [{ grade: 'stop', code: 'relief-above-weakest', ...at, text: `${by}, above ${part}.` }];
  });
  const { rodEndN } = job.bench;
  const thrustN = port.rodForceN * (Math.max(mostPa ?? 0, port.testPa) / port.testPa);
  if (procedure.subject === 'cylinder' && port.rodRestrained && rodEndN !== undefined && thrustN > rodEndN)
    findings.push({
      grade: 'stop',
      code: 'rod-end',
      ...at,
      text: `What restrains the rod bears ${force(rodEndN)} (job: bench.rod_end), and up to ${force(thrustN)} can come.`,
    });
  return findings;
}

/** Who brings the most that can come. */
function cameBy({ bench: { mostPa, reliefPa, pumpPa, stallPa } }: PortFigures): string {
  if (mostPa === reliefPa) return `The relief valve opens at ${pressure(mostPa ?? 0)}`;
  return mostPa === pumpPa
    ? `The pump reaches ${pressure(mostPa ?? 0)}`
    : `The booster stalls at ${pressure(stallPa ?? 0)}`;
}

/** The relief valve, or whatever else limits the pressure, against the maximum of this test. */
function relief({ job }: Grounds, port: PortFigures): Finding[] {
  const { reliefPa, mostPa } = port.bench;
  const finding = (grade: Finding['grade'], code: string, text: string): Finding[] => [
    { grade, code, port: port.port, text },
  ];
  const wanted = `Set it to about ${pressure(port.reliefWantedPa)}, above the test pressure and never above the maximum`;
  const statedPa = job.testPressureMaxPa ?? Number.POSITIVE_INFINITY;
  const maximumPa = Math.min(port.overpressurePa, statedPa);
  const maximum =
    statedPa < port.overpressurePa
      ? `the ${pressure(statedPa)} that this cylinder may be tested with (job: cylinder.test_pressure_max)`
      : `the maximum during this test, ${pressure(port.overpressurePa)}`;
  if (reliefPa !== null && reliefPa > maximumPa)
    return finding(
      'stop',
      'relief-high',
      `The relief valve at ${pressure(reliefPa)} opens above ${maximum}. ${wanted}.`,
    );
  if (reliefPa === null && mostPa !== null && mostPa > maximumPa)
    return finding(
      'stop',
      'relief-high',
      `${cameBy(port)}, above ${maximum}, and no relief setting is stated. ${wanted}.`,
    );
  if (reliefPa === null) return finding('note', 'relief-not-stated', `The job states no relief setting. ${wanted}.`);
  if (reliefPa <= port.testPa)
    return finding(
      'warn',
      'relief-low',
      `The relief valve at ${pressure(reliefPa)} opens before the test pressure of ${pressure(port.testPa)} is reached. ${wanted}.`,
    );
  return [];
}

/** Neither pump nor booster brings the test pressure. */
function reach(port: PortFigures): Finding[] {
  const { pumpPa, stallPa } = port.bench;
  const sourcePa = Math.max(pumpPa ?? 0, stallPa ?? 0);
  if (sourcePa === 0 || sourcePa >= port.testPa) return [];
  return [
    {
      grade: 'warn',
      code: 'test-pressure-not-reached',
      port: port.port,
      text: `The ${stallPa === sourcePa ? 'booster stalls' : 'pump ends'} at ${pressure(sourcePa)}, below the test pressure of ${pressure(port.testPa)}.`,
    },
  ];
}

/** Fully out, the thrust of a plunger or of stages lands on stops that makers often do not rate. */
function endStops({ job }: Grounds, port: PortFigures): Finding[] {
  if (port.thrustOn !== 'end stops') return [];
  const thrust = `Fully out, the thrust of ${force(port.rodForceN)} at ${pressure(port.testPa)} lands on the end stops`;
  if (job.endStops !== undefined)
    return [
      {
        grade: 'note',
        code: 'end-stops',
        port: port.port,
        text: `${thrust}. They bear it, by: ${job.endStops} (job: cylinder.end_stops).`,
      },
    ];
  return [
    {
      grade: 'stop',
      code: 'end-stops',
      port: port.port,
      text: `${thrust}, and many makers do not rate those. Ask the maker and write who says so in cylinder.end_stops, or hold the rod from outside and write restrained = true.`,
    },
  ];
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
