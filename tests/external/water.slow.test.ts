import { describe, expect, it } from 'vitest';
import { secantModulusPa, tangentModulusPa } from '../../src/hydraulics/fluids.js';
import { thermalPressurePaPerK } from '../../src/hydraulics/heat.js';
import { findFluid } from '../../src/hydraulics/index.js';
import { pressurePa } from '../../src/units/index.js';
import { askPython, relative } from './oracle.js';

/** IAPWS R6-95 (revision 2018) and the viscosity of R12-08, computed by Debian's python3-iapws at the pressures asked for. */
const program = `
import json, sys
from iapws import IAPWS95
T = 293.15
p0 = 0.101325
zero = IAPWS95(T=T, P=p0)
out = {"density": zero.rho, "heat": zero.cp * 1e3, "expansion": zero.alfav, "viscosity": zero.mu, "at": []}
for bar in json.load(sys.stdin):
    state = IAPWS95(T=T, P=p0 + bar / 10)
    out["at"].append({"secant": bar * 1e5 / (1 - state.v / zero.v), "tangent": 1e6 / state.kappa})
out["thermal"] = 1e6 * zero.alfav / zero.kappa
json.dump(out, sys.stdout)
`;

describe('water against IAPWS R6-95 by python3-iapws, 20 °C', () => {
  const bars = [1, 50, 100, 200, 250, 400, 700, 1000];
  const theirs = askPython(program, bars) as {
    density: number;
    heat: number;
    expansion: number;
    viscosity: number;
    thermal: number;
    at: { secant: number; tangent: number }[];
  };
  const water = findFluid('water');
  if (!water) throw new Error('no water');

  it('density, heat capacity, expansion and viscosity, to 0.1, 0.1, 0.3 and 0.1 %', () => {
    expect(relative(water.densityKgPerM3, theirs.density)).toBeLessThan(1e-3);
    expect(relative(water.heatCapacityJPerKgK, theirs.heat)).toBeLessThan(1e-3);
    expect(relative(water.expansionPerK, theirs.expansion)).toBeLessThan(3e-3);
    expect(relative(water.viscosityPaS, theirs.viscosity)).toBeLessThan(1e-3);
  });

  it('secant and tangent modulus from 1 to 1000 bar, to 0.5 and 1 %', () => {
    bars.forEach((bar, i) => {
      const at = pressurePa(bar * 1e5);
      expect(relative(secantModulusPa(water, at), theirs.at[i]?.secant ?? 0), `${bar} bar`).toBeLessThan(5e-3);
      expect(relative(tangentModulusPa(water, at), theirs.at[i]?.tangent ?? 0), `${bar} bar`).toBeLessThan(1e-2);
    });
  });

  it('the pressure for a kelvin in a rigid chamber, to 5 %', () => {
    const ours = thermalPressurePaPerK({ stiffnessPa: water.bulkModulusPa, expansionPerK: water.expansionPerK });
    expect(relative(ours, theirs.thermal)).toBeLessThan(0.05);
  });
});
