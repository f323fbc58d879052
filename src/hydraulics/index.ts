export type { Cylinder, CylinderKind, OppositePort, PistonPosition, PortName } from './cylinder.js';
export type { Fluid } from './fluid.js';
export type { TrappedOil } from './trapped-oil.js';
