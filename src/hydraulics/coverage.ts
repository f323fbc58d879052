import { DwellmarkError } from '../units/index.js';
import type { CylinderKind, OppositePort, PistonPosition, PortName } from './cylinder.js';

/** The parts that a hold can cover, as they are printed. */
export const parts = {
  cap: 'cap',
  capWeld: 'cap weld or cap seal',
  bossA: 'port A boss',
  bossB: 'port B boss',
  barrel: 'barrel',
  capHalf: 'barrel, half at port A',
  rodHalf: 'barrel, half at port B',
  pistonSeal: 'piston seal',
  rodSeal: 'rod seal',
  gland: 'gland O-ring',
  head: 'head',
  headThrust: 'head thread or bolts, by thrust',
  capThrust: 'cap, by thrust',
  stopsThrust: 'end stops, by thrust',
  wiper: 'wiper',
  stageSeals: 'stage seals',
  retractSeals: 'retract seals of the stages',
} as const;

/** What pressure at the cap end loads besides barrel and piston. */
export const capEnd: readonly string[] = [parts.cap, parts.capWeld, parts.bossA];
/** What pressure at the rod end loads besides barrel and piston. */
export const rodEnd: readonly string[] = [parts.rodSeal, parts.gland, parts.head, parts.bossB];

const portsOf: Readonly<Record<CylinderKind, readonly PortName[]>> = {
  'double-acting': ['A', 'B'],
  'double-rod': ['A', 'B'],
  'single-acting': ['A'],
  'single-acting pull': ['B'],
  plunger: ['A'],
  telescopic: ['A', 'B'],
  vessel: ['A'],
};

/**
 * The ports at which a kind of cylinder can be held. A telescopic cylinder has a port B only when it is
 * double-acting.
 * @example testablePorts('plunger') // ['A']
 */
export const testablePorts = (kind: CylinderKind): readonly PortName[] => portsOf[kind];

/** What a hold says of the cylinder, in the trade's words. */
export interface HoldCoverage {
  /** Parts that the pressure loads and whose leak would show. */
  readonly covers: readonly string[];
  readonly notCovered: readonly string[];
  /** Whether oil that passes the piston could be told from a tight piston. */
  readonly canShowPistonBypass: boolean;
  /** What the person who reads the result must know, a sentence each. */
  readonly remarks: readonly string[];
}

/**
 * Which parts a hold covers, from the kind of cylinder, the port, where the piston stands and what is on the other
 * port. Pressure loads the parts around its own chamber and says nothing of the other end. Oil past the piston shows
 * at an open port, or on a gauge at a closed one; into a plugged dead volume it goes unseen.
 * @throws DwellmarkError (`input`) for a port that this kind of cylinder does not have.
 * @example holdCoverage('double-acting', 'A', 'extended', 'blocked').canShowPistonBypass // false
 */
export function holdCoverage(
  kind: CylinderKind,
  port: PortName,
  position: PistonPosition,
  opposite: OppositePort,
  restrained = false,
): HoldCoverage {
  const ports = testablePorts(kind);
  if (!ports.includes(port))
    throw new DwellmarkError('input', `a ${kind} cylinder can't be held at port ${port}`, {
      advice: `It can be held at port ${ports.join(' or ')}.`,
    });
  const ends = endParts(kind, port);
  const barrel = barrelParts(kind, port, position);
  const canShowPistonBypass = hasPiston(kind, port) && opposite !== 'blocked';
  const seal = hasPiston(kind, port) || kind === 'telescopic' ? [parts.pistonSeal] : [];
  return {
    covers: [...ends.loaded, ...barrel.loaded, ...(canShowPistonBypass ? seal : [])],
    notCovered: [...ends.unloaded, ...barrel.unloaded, ...(canShowPistonBypass ? [] : seal)],
    canShowPistonBypass,
    remarks: remarksOn(kind, port, position, opposite, restrained),
  };
}

interface Loaded {
  readonly loaded: readonly string[];
  readonly unloaded: readonly string[];
}

function endParts(kind: CylinderKind, port: PortName): Loaded {
  switch (kind) {
    case 'vessel':
      return { loaded: [], unloaded: [] };
    case 'plunger':
      return { loaded: [...capEnd, parts.rodSeal, parts.gland, parts.head], unloaded: [parts.wiper] };
    case 'single-acting':
      return { loaded: capEnd, unloaded: [parts.head, parts.wiper] };
    case 'single-acting pull':
      return { loaded: rodEnd, unloaded: [parts.cap] };
    case 'double-acting':
      return port === 'A' ? { loaded: capEnd, unloaded: rodEnd } : { loaded: rodEnd, unloaded: capEnd };
    case 'double-rod':
      return { loaded: headAt(port), unloaded: headAt(port === 'A' ? 'B' : 'A') };
    case 'telescopic':
      return port === 'A'
        ? { loaded: [...capEnd, parts.stageSeals], unloaded: retract }
        : { loaded: retract, unloaded: [...capEnd, parts.stageSeals] };
  }
}

const retract: readonly string[] = [parts.bossB, parts.retractSeals];

const headAt = (port: PortName): readonly string[] => [
  port === 'A' ? parts.bossA : parts.bossB,
  `${parts.rodSeal} at ${port}`,
  `${parts.gland} at ${port}`,
  `${parts.head} at ${port}`,
];

/** How much of the barrel stands around the pressurised chamber. */
function barrelParts(kind: CylinderKind, port: PortName, position: PistonPosition): Loaded {
  if (kind === 'vessel') return { loaded: [], unloaded: [] };
  if (kind === 'plunger') return { loaded: [parts.barrel], unloaded: [] };
  if (kind === 'telescopic' && port === 'B') return { loaded: [], unloaded: [parts.barrel] };
  const [own, other] = port === 'A' ? [parts.capHalf, parts.rodHalf] : [parts.rodHalf, parts.capHalf];
  if (position === 'mid-stroke restrained') return { loaded: [own], unloaded: [other] };
  return atFarEnd(port, position) ? { loaded: [parts.barrel], unloaded: [] } : { loaded: [], unloaded: [parts.barrel] };
}

/** The piston stands at the end opposite the pressurised port, where the pressure wants it. */
const atFarEnd = (port: PortName, position: PistonPosition): boolean =>
  position === (port === 'A' ? 'extended' : 'retracted');

const isSingleActing = (kind: CylinderKind): boolean => kind === 'single-acting' || kind === 'single-acting pull';

/** Whether a piston with a seal stands between this port's chamber and another one. */
const hasPiston = (kind: CylinderKind, port: PortName): boolean =>
  kind === 'double-acting' || kind === 'double-rod' || isSingleActing(kind) || (kind === 'telescopic' && port === 'B');

function remarksOn(
  kind: CylinderKind,
  port: PortName,
  position: PistonPosition,
  opposite: OppositePort,
  restrained: boolean,
): readonly string[] {
  const remarks = [...(kindRemarks[kind] ?? [])];
  if (position === 'no piston') return remarks;
  const other = port === 'A' ? 'B' : 'A';
  if (position === 'mid-stroke restrained' || restrained)
    remarks.push('The rod bears the full force of the pressure: it must be restrained from outside.');
  else if (!atFarEnd(port, position))
    remarks.push(
      `Pressure at ${port} moves the piston away from where it stands, and loads no length of barrel there.`,
    );
  else if (hasPiston(kind, port) && kind !== 'telescopic')
    remarks.push('A barrel that balloons under pressure shows only mid-stroke, with the rod restrained.');
  if (hasPiston(kind, port)) remarks.push(...pistonRemarks(kind, position, opposite, other));
  return remarks;
}

function pistonRemarks(
  kind: CylinderKind,
  position: PistonPosition,
  opposite: OppositePort,
  other: PortName,
): readonly string[] {
  if (opposite === 'open')
    return isSingleActing(kind) ? [] : [`A leaking piston seal shows as oil at the open port ${other}.`];
  if (opposite === 'gauge')
    return [
      'A leaking piston seal shows as pressure at the other port that rises while this one falls, until both move together.',
    ];
  return position === 'mid-stroke restrained'
    ? [
        'Past a leaking piston seal both chambers would share one pressure and move together; without a gauge on the blocked port that is not seen.',
      ]
    : [
        'A blocked port hides a leaking piston seal, even a missing one: the pressure falls a little into the dead volume and then holds. This hold says nothing of the piston seal.',
      ];
}

const atBreather = 'A leaking piston seal shows as oil at the breather or drain.';

const kindRemarks: Readonly<Partial<Record<CylinderKind, readonly string[]>>> = {
  'double-rod': ['A double-rod cylinder with a leaking piston drifts under load even with both ports shut.'],
  'single-acting': [atBreather],
  'single-acting pull': [atBreather],
  vessel: [
    'The parts are those that the job lists. What lies behind a closed spool, seat or check valve sees no pressure and is not tested.',
  ],
  plunger: ['A plunger has no piston seal: whatever leaks, leaks outside. Its stroke must end at a stop.'],
  telescopic: [
    'Bleed a telescopic cylinder at its top; its stages move out in order, largest first.',
    'A double-acting telescopic cylinder intensifies pressure between its stages; only port B, where there is one, can show oil past them.',
  ],
};

/** What bears the thrust of a hold. */
export type ThrustBearer = 'restraint' | 'head' | 'cap' | 'end stops';

/**
 * What bears the thrust: the restraint of the rod, or what the piston has come to rest on. Fully out, a plunger and the
 * stages of a telescopic cylinder rest on stops of their own; undefined where the pressure drives the piston away.
 * @example thrustBearer('double-acting', 'A', 'extended', false) // 'head'
 */
export function thrustBearer(
  kind: CylinderKind,
  port: PortName,
  position: PistonPosition,
  restrained: boolean,
): ThrustBearer | undefined {
  if (restrained || position === 'mid-stroke restrained') return 'restraint';
  if (position !== (port === 'A' ? 'extended' : 'retracted')) return undefined;
  if (port === 'B') return kind === 'double-rod' ? 'head' : 'cap';
  return kind === 'plunger' || kind === 'telescopic' ? 'end stops' : 'head';
}

/** The part that the thrust loads, as it is printed among the parts that a hold covers. */
export const thrustParts: Readonly<Record<ThrustBearer, readonly string[]>> = {
  restraint: [],
  head: [parts.headThrust],
  cap: [parts.capThrust],
  'end stops': [parts.stopsThrust],
};
