import type { CylinderKind, PortName } from '../cylinder.js';

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
