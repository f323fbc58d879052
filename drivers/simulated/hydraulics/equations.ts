import type { Valves } from '../operator.js';
import type { SimulatedBench } from '../simulated-bench.js';
import { leakFlow, orificeFlow } from './leak-law.js';
import { airVolume, atmospherePa, compliance, type TrappedVolume } from './stiffness.js';

/** Where each quantity stands in the state vector; the creeping volumes follow from `creep` on. */
export const at = {
  /** Pressure that the gauge sees, Pa. */
  pressure: 0,
  opposite: 1,
  oilK: 2,
  wallK: 3,
  /** Part of the free air not yet in solution. */
  undissolved: 4,
  /** Booster strokes made. */
  strokes: 5,
  /** Oil delivered by pump and booster, m3. */
  pumpedM3: 6,
  /** Oil that passed the piston, m3. */
  pistonM3: 7,
  /** Oil lost to the air at the cylinder, m3. */
  externalM3: 8,
  /** Oil lost in the bench: fitting, check valve, m3. */
  benchM3: 9,
  /** Fall of pressure that leaks alone have caused, Pa. */
  leakFallPa: 10,
  /** Fall of pressure that oil and walls changing temperature have caused, Pa. */
  thermalFallPa: 11,
  creep: 12,
} as const;

/** The state before anything is done: vented, oil and wall at their first temperatures. */
export function stateAtStart(bench: SimulatedBench): Float64Array {
  const state = new Float64Array(at.creep + bench.creep.length);
  state[at.oilK] = bench.heat.oilStartK;
  state[at.wallK] = bench.heat.wallStartK;
  state[at.undissolved] = 1;
  return state;
}

/** Error of one step allowed for each state: a few pascals, a millionth of a kelvin, a ten-thousandth of a millilitre. */
export function tolerances(bench: SimulatedBench): Float64Array {
  const tolerance = new Float64Array(at.creep + bench.creep.length).fill(1e-10);
  for (const index of [at.pressure, at.opposite, at.leakFallPa, at.thermalFallPa]) tolerance[index] = 2;
  for (const index of [at.oilK, at.wallK, at.undissolved]) tolerance[index] = 1e-6;
  tolerance[at.strokes] = 1e-4;
  return tolerance;
}

/** What the equations need besides the state: valves, time of the ambient's drift, and what the gauge is joined to. */
export interface Situation {
  readonly valves: Valves;
  readonly ambientK: number;
  readonly trapped: TrappedVolume;
  /** The cylinder is in the trapped volume, so its leaks and its creep count. */
  readonly withCylinder: boolean;
  /** The line is in it, so the bench's leaks count and the valves act. */
  readonly withLine: boolean;
}

/**
 * The bench in equations. Conservation of oil in the trapped volume,
 *
 *     (V/K_eff) dp/dt = Q_supply - Q_relief - Q_bleed - Q_leaks - Q_creep + V (gamma dT/dt - w dTw/dt) + dVair/dt,
 *
 * and of heat, dT/dt = (gamma T / rho cp) dp/dt - (T - Tw)/tau. Both hold dp/dt and dT/dt: solved together, so that a
 * quick compression is stiffer (adiabatic) than a slow one.
 */
export function benchRates(bench: SimulatedBench, now: Situation, state: Float64Array, rates: Float64Array): void {
  const { oil, heat, leaks } = bench;
  const { trapped } = now;
  const p = get(state, at.pressure);
  const oilK = get(state, at.oilK);
  const wallK = get(state, at.wallK);
  const undissolved = get(state, at.undissolved);
  const stiffnessM3PerPa = compliance(trapped, undissolved, p);

  const pump = now.valves.pump ? pumpFlow(bench, p, stiffnessM3PerPa) : 0;
  const strokesPerS = now.valves.booster ? boosterRate(bench, p, stiffnessM3PerPa) : 0;
  // One stroke delivers as its piston moves: nothing at the turns, most in the middle.
  const pulse = 1 - Math.cos(2 * Math.PI * get(state, at.strokes));
  const supply = pump + bench.supply.booster.strokeM3 * strokesPerS * pulse;
  const relief = now.withLine ? bench.supply.relief.m3PerSPerPa * Math.max(0, p - bench.supply.relief.crackPa) : 0;
  const bleed = orificeFlow(bench.supply.bleedM3PerSPerSqrtPa * now.valves.bleed, p, bleedLaminarBelowPa);

  const cylinder = now.withCylinder ? 1 : 0;
  const piston = cylinder * leakFlow(leaks.pistonSeal, p - get(state, at.opposite));
  const external = cylinder * leakFlow(leaks.external, p);
  const benchLoss = now.withLine ? leakFlow(leaks.fitting, p) + leakFlow(leaks.benchCheck, p) : 0;
  const leaking = piston + external + benchLoss;

  let creeping = 0;
  for (let i = 0; i < bench.creep.length; i++) {
    const part = bench.creep[i];
    const rate = part ? (cylinder * (part.m3PerPa * p - get(state, at.creep + i))) / part.timeS : 0;
    rates[at.creep + i] = rate;
    creeping += rate;
  }

  const dissolving = oil.airDissolvesS ? (-undissolved * Math.max(0, p)) / (p + atmospherePa) / oil.airDissolvesS : 0;
  const airShrinks = undissolved > 0 ? (airVolume(trapped, undissolved, p) / undissolved) * dissolving : 0;

  const toWallKPerS = heat.oilToWallS ? (oilK - wallK) / heat.oilToWallS : 0;
  const wallRate =
    toWallKPerS * heat.oilOverWall + (heat.wallToAmbientS ? (now.ambientK - wallK) / heat.wallToAmbientS : 0);
  const heatPerPa = heat.compressionHeat
    ? (oil.expansionPerK * oilK) / (oil.densityKgPerM3 * oil.heatCapacityJPerKgK)
    : 0;
  const growM3PerK = trapped.volumeM3 * oil.expansionPerK;
  const exchange = -growM3PerK * toWallKPerS - trapped.volumeM3 * heat.wallExpansionPerK * wallRate;

  const rise =
    (supply - relief - bleed - leaking - creeping + airShrinks + exchange) /
    (stiffnessM3PerPa - growM3PerK * heatPerPa);
  const oilRate = heatPerPa * rise - toWallKPerS;

  rates[at.pressure] = rise;
  rates[at.oilK] = oilRate;
  rates[at.wallK] = wallRate;
  rates[at.undissolved] = dissolving;
  rates[at.strokes] = strokesPerS;
  rates[at.pumpedM3] = supply;
  rates[at.pistonM3] = piston;
  rates[at.externalM3] = external;
  rates[at.benchM3] = benchLoss;
  rates[at.leakFallPa] = leaking / stiffnessM3PerPa;
  rates[at.thermalFallPa] =
    (-growM3PerK * oilRate + trapped.volumeM3 * heat.wallExpansionPerK * wallRate) / stiffnessM3PerPa;
  rates[at.opposite] =
    bench.opposite.kind === 'open'
      ? 0
      : oil.bulkModulusPa *
        (piston / bench.opposite.deadVolumeM3 + oil.expansionPerK * oilRate - heat.wallExpansionPerK * wallRate);
}

/** The bleed valve is laminar below this, Pa. */
const bleedLaminarBelowPa = 10_000;
/** The pump's compensator closes over this share of its limit. */
const compensatorBand = 0.02;

function pumpFlow({ supply, script }: SimulatedBench, p: number, stiffnessM3PerPa: number): number {
  const { flowM3PerS, limitPa } = supply.pump;
  const flow = flowM3PerS * Math.min(1, Math.max(0, (limitPa - p) / (compensatorBand * limitPa)));
  return script.pumpRampPaPerS === undefined ? flow : Math.min(flow, script.pumpRampPaPerS * stiffnessM3PerPa);
}

function boosterRate({ supply, script }: SimulatedBench, p: number, stiffnessM3PerPa: number): number {
  const { strokeM3, strokesPerS, stallPa } = supply.booster;
  const rate = strokesPerS * Math.max(0, 1 - p / stallPa);
  return script.boosterRampPaPerS === undefined
    ? rate
    : Math.min(rate, (script.boosterRampPaPerS * stiffnessM3PerPa) / strokeM3);
}

const get = (state: Float64Array, index: number): number => state[index] as number;
