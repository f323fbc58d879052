import {
  type CylinderKind,
  type OppositePort,
  type PistonPosition,
  type PortName,
  testablePorts,
} from '../../hydraulics/index.js';

/** Why a hold can't be made, and at which key of its `[[port]]` table that shows. */
export interface ImpossibleHold {
  readonly key: 'name' | 'position' | 'opposite';
  readonly message: string;
  readonly advice: string;
}

/**
 * What makes a hold impossible: a port the cylinder does not have, or a piston that the test pressure would drive
 * away from where it is said to stand. Undefined when the hold can be made. (Geometry.)
 */
export function impossibleHold(
  kind: CylinderKind,
  port: PortName,
  position: PistonPosition,
  opposite: OppositePort,
  restrained = false,
): ImpossibleHold | undefined {
  if (!testablePorts(kind).includes(port))
    return {
      key: 'name',
      message: `a ${kind === 'vessel' ? kind : `${kind} cylinder`} is pressed up at port ${testablePorts(kind).join(' or ')} only`,
      advice:
        kind === 'single-acting'
          ? 'Take this [[port]] out, or write kind = "single-acting pull" where oil draws the rod in.'
          : 'Take this [[port]] out, or correct cylinder.kind.',
    };
  if (port === 'A' && position === 'retracted' && !restrained)
    return {
      key: 'position',
      message: 'pressure at A drives the rod out: it can not stay retracted',
      advice: 'Write "extended", or restrained = true when the rod is held from outside.',
    };
  if (port === 'B' && position === 'extended' && !restrained)
    return {
      key: 'position',
      message: 'pressure at B draws the rod in: it can not stay extended',
      advice: 'Write "retracted", or restrained = true when the rod is held from outside.',
    };
  if (kind === 'plunger' && opposite !== 'open')
    return { key: 'opposite', message: 'a plunger cylinder has no opposite port', advice: 'Leave "opposite" out.' };
  if ((kind === 'single-acting' || kind === 'single-acting pull') && opposite !== 'open')
    return {
      key: 'opposite',
      message: 'the breather or drain of a single-acting cylinder stays open: bypass shows there',
      advice: 'Write opposite = "open".',
    };
  return undefined;
}
