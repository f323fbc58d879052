import type { ThrustBearer } from '../../../hydraulics/index.js';
import type { PortFigures } from '../figures.js';
import { expectedCourse } from './expected-course.js';

const bearers: Readonly<Record<ThrustBearer, string>> = {
  restraint: 'the restraint of the rod',
  head: 'the head and its thread or bolts',
  cap: 'the cap',
  'end stops': 'the end stops',
};

/** What bears the thrust, in words. */
export const bearerWords = ({ thrustOn }: PortFigures): string => (thrustOn === null ? 'the rod' : bearers[thrustOn]);

/** Where the piston stands, and what is on the other port. */
export function pistonStands({ port, position, opposite, rodRestrained }: PortFigures): string {
  if (position === 'no piston') return position;
  const restrained = rodRestrained && position !== 'mid-stroke restrained' ? ', restrained' : '';
  return `${position}${restrained}, port ${port === 'A' ? 'B' : 'A'} ${opposite === 'gauge' ? 'closed by a gauge' : opposite}`;
}

/** How long a port takes, pumped as fast as the plan allows, s, to the next half minute. */
export const minutesOf = (port: PortFigures): number => Math.ceil((expectedCourse(port).at(-1)?.toS ?? 0) / 30) * 30;
