import type { PortName } from '../../src/hydraulics/index.js';
import type { OperatorScript } from './operator.js';
import type { SimulatedBench, SimulatedHeat, SimulatedOil } from './simulated-bench.js';

/** A cylinder as it is put on the simulated bench. */
export interface CylinderOnBench {
  readonly boreM: number;
  readonly rodM: number;
  readonly strokeM: number;
  /** Absent: the barrel counts as rigid. */
  readonly barrelOutsideM?: number;
  readonly lineM3: number;
  /** Give of the hose, m3/Pa. */
  readonly hoseM3PerPa?: number;
}

/** What differs from a plain bench; the rest is as {@link cylinderOnBench} says. */
export type BenchChanges = Partial<Omit<SimulatedBench, 'port' | 'script' | 'oil' | 'heat'>> & {
  readonly oil?: Partial<SimulatedOil>;
  readonly heat?: Partial<SimulatedHeat>;
};

/** Mineral oil ISO VG 46 (as in the fluid table): 1.5 GPa, expansion 7e-4/K, 870 kg/m3, 1900 J/(kg K); no air. */
const mineralOil: SimulatedOil = {
  bulkModulusPa: 1.5e9,
  expansionPerK: 7e-4,
  densityKgPerM3: 870,
  heatCapacityJPerKgK: 1900,
  airFraction: 0,
};

/** Everything at 20 degrees Celsius; the steel barrel takes the oil's heat in about a minute and a half. */
const roomHeat: SimulatedHeat = {
  oilStartK: 293.15,
  wallStartK: 293.15,
  ambientK: 293.15,
  ambientDriftKPerS: 0,
  oilToWallS: 90,
  wallToAmbientS: 3600,
  oilOverWall: 0.4,
  wallExpansionPerK: 3.6e-5,
  compressionHeat: true,
};

/**
 * A cylinder on a plain bench, piston bottomed, the other port open: volume from the bore (port B: less the rod),
 * barrel stiffness by Lame with open ends, pump sized so that the rod end rises
 * at about 7 bar/s, booster of a millilitre
 * a stroke, relief valve a twentieth above the highest target.
 */
export function cylinderOnBench(
  port: PortName,
  cylinder: CylinderOnBench,
  script: OperatorScript,
  changes: BenchChanges = {},
): SimulatedBench {
  const { boreM, rodM, strokeM, barrelOutsideM, lineM3, hoseM3PerPa } = cylinder;
  const areaM2 = (Math.PI / 4) * (port === 'A' ? boreM ** 2 : boreM ** 2 - rodM ** 2);
  const volumeM3 = areaM2 * strokeM;
  const highestPa = Math.max(...script.stages.map(({ targetPa }) => targetPa));
  const { oil, heat, ...rest } = changes;
  // One pump for both ports: the smaller chamber decides.
  const rodEndM3 = (Math.PI / 4) * (boreM ** 2 - rodM ** 2) * strokeM;
  const leastM3PerPa = (rodEndM3 + lineM3) / mineralOil.bulkModulusPa;
  return {
    port,
    connected: 'cylinder',
    chamber: {
      volumeM3,
      ...(barrelOutsideM === undefined ? {} : { wallModulusPa: barrelStiffnessPa(boreM, barrelOutsideM) }),
    },
    line: { volumeM3: lineM3, hoseM3PerPa: hoseM3PerPa ?? 1e-13 },
    creep: [],
    opposite: { kind: 'open' },
    leaks: {},
    supply: {
      pump: { flowM3PerS: 7e5 * leastM3PerPa, limitPa: 1.1 * highestPa },
      booster: { strokeM3: 1e-6, strokesPerS: 1.5, stallPa: 1.6 * highestPa },
      relief: { crackPa: 1.05 * highestPa, m3PerSPerPa: 5e-12 },
      bleedM3PerSPerSqrtPa: 4e-8,
    },
    script,
    oil: { ...mineralOil, ...oil },
    heat: { ...roomHeat, ...heat },
    ...rest,
  };
}

/**
 * Stiffness of a thick barrel against dilation, open ends, Pa: K_c = E / (2 [(Do2 + Di2)/(Do2 - Di2) + nu]), Lame,
 * E 207 GPa, nu 0.3.
 * @example barrelStiffnessPa(0.1, 0.12) // 17.7e9
 */
function barrelStiffnessPa(insideM: number, outsideM: number): number {
  const ratio = (outsideM ** 2 + insideM ** 2) / (outsideM ** 2 - insideM ** 2);
  return 207e9 / (2 * (ratio + 0.3));
}
