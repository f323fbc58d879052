import { type Cylinder, type Fluid, findFluid, type ShutIn, userFluid } from '../../src/hydraulics/index.js';
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

/** The cylinder extended and held on A, no line, an oil that is stated as 1.5 GPa. */
export const heldOnA: ShutIn = {
  cylinder: cylinder100,
  port: 'A',
  position: 'extended',
  fluid: userFluid({ bulkModulusPa: 1.5e9, name: 'stated oil' }),
  lineVolumeM3: 0,
};
