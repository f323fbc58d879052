import type { CylinderKind, PistonPosition, PortName } from '../cylinder.js';
import { parts } from './parts.js';

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
