import { type Cylinder, type Fluid, findFluid, type ShutIn } from '../../src/hydraulics/index.js';
import { pressurePa } from '../../src/units/index.js';

/** 100/56 x 500 mm, 160 bar. */
export const cylinder100: Cylinder = {
  kind: 'double-acting',
  boreM: 0.1,
  rodM: 0.056,
  strokeM: 0.5,
  ratedPressurePa: pressurePa(160e5),
};

export const bar = (value: number) => pressurePa(value * 1e5);

export function fluidNamed(name: string): Fluid {
  const fluid = findFluid(name);
  if (!fluid) throw new Error(`no fluid ${name}`);
  return fluid;
}

/** The cylinder extended and held on A, no line, ISO VG 46 at 1.5 GPa. */
export const heldOnA: ShutIn = {
  cylinder: cylinder100,
  port: 'A',
  position: 'extended',
  fluid: fluidNamed('ISO VG 46'),
  lineVolumeM3: 0,
};
