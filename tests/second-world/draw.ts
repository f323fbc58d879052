import { Chance } from './chance.js';
import type { Creep, Cylinder, Gauge, Heat, HoldSpec, Oil, OperatorPlan, Probe, Pump } from './hold-spec.js';

/** Bores of the trade with their rods, strokes and walls, mm. */
const sizes = [
  { bore: 40, rods: [22, 28], stroke: [150, 500], wall: [5, 7] },
  { bore: 63, rods: [36, 45], stroke: [200, 700], wall: [6, 9] },
  { bore: 100, rods: [56, 70], stroke: [300, 1000], wall: [9, 14] },
  { bore: 160, rods: [90, 110], stroke: [400, 1500], wall: [14, 22] },
  { bore: 220, rods: [125, 160], stroke: [500, 2000], wall: [20, 30] },
  { bore: 320, rods: [180, 220], stroke: [600, 2500], wall: [28, 45] },
] as const;

export type Bore = (typeof sizes)[number]['bore'];
export const bores: readonly Bore[] = sizes.map(({ bore }) => bore);

/** What a kind of hold fixes; the rest is drawn. */
export interface Fixed {
  readonly bores?: readonly Bore[];
  readonly dwellS?: number;
  readonly creep?: 'none';
  /** Oil that neither warms nor swells: what is left once a cylinder has stood under pressure for hours. */
  readonly heat?: 'none';
  readonly probe?: Probe['kind'] | null;
  readonly gauge?: Partial<Gauge>;
  readonly operator?: Partial<OperatorPlan>;
}

/** A tight cylinder at a bench, drawn. */
export function drawHold(seed: number, fixed: Fixed = {}): HoldSpec {
  const from = (name: string): Chance => Chance.of(seed, name);
  const cylinder = drawCylinder(from('cylinder'), fixed.bores ?? bores);
  const targetPa = 1.5 * cylinder.ratedPa;
  const dwellS = fixed.dwellS ?? 300;
  const allowedShare = 0.02;
  const room = from('room');
  const roomK = 273.15 + room.between(15, 28);
  const probe = drawProbe(from('probe'), fixed.probe ?? null);
  const warmOil = drawOil(from('oil'), roomK + (probe ? room.between(-4, 8) : room.between(-0.5, 0.5)));
  const oil = fixed.heat === 'none' ? { ...warmOil, expansionPerK: 1e-12, startK: roomK } : warmOil;
  return {
    seed,
    cylinder,
    test: { targetPa, dwellS, allowedShare },
    oil,
    airFraction: from('air').chance(0.5) ? 0 : from('air amount').octaves(2e-4, 3e-3),
    room: { startK: roomK, driftKPerS: room.between(-0.5, 0.5) / 1200 },
    heat: drawHeat(from('heat')),
    creep: fixed.creep === 'none' ? null : drawCreep(from('creep'), allowedShare * targetPa),
    leaks: [],
    operator: { ...drawOperator(from('operator plan'), targetPa, dwellS), ...fixed.operator },
    gauge: { ...drawGauge(from('gauge'), targetPa), ...fixed.gauge },
    probe,
  };
}

function drawCylinder(c: Chance, among: readonly Bore[]): Cylinder {
  const bore = c.pick(among);
  const size = sizes.find((one) => one.bore === bore);
  if (!size) throw new Error(`no size of bore ${bore}`);
  const mm = ([low, high]: readonly [number, number]): number => Math.round(c.between(low, high)) / 1e3;
  return {
    boreM: bore / 1e3,
    rodM: c.pick(size.rods) / 1e3,
    strokeM: mm(size.stroke),
    wallM: mm(size.wall),
    port: c.pick(['A', 'B']),
    lineM3: Number(c.octaves(0.05e-3, 0.5e-3).toFixed(5)),
    lineModulusPa: c.octaves(0.6e9, 6e9),
    ratedPa: c.pick([160e5, 160e5, 210e5, 250e5]),
    wallStated: c.chance(0.5),
  };
}

/** About an ISO VG 46: secant 1.5 GPa at 200 bar and 7.0e-4 per K, each within 8 %. */
function drawOil(c: Chance, startK: number): Oil {
  const modulusRise = c.between(9, 12);
  return {
    modulusPa: 1.5e9 * c.between(0.92, 1.08) - (modulusRise * 200e5) / 2,
    modulusRise,
    expansionPerK: 7e-4 * c.between(0.92, 1.08),
    densityKgPerM3: 870 * c.between(0.98, 1.02),
    heatJPerKgK: 1900 * c.between(0.96, 1.04),
    conductivityWPerMK: c.between(0.12, 0.14),
    viscosityM2PerS: 46e-6 * Math.exp(0.05 * (313.15 - startK)),
    startK,
  };
}

function drawHeat(c: Chance): Heat {
  return {
    flavour: c.pick(['lumped', 'radial'] as const),
    convection: c.octaves(0.25, 4),
    nusselt: c.pick([
      { a: 0.55, n: 0.25 },
      { a: 0.3, n: 0.29 },
      { a: 0.13, n: 1 / 3 },
    ]),
    outsideWPerM2K: c.between(6, 14),
    lineApart: c.chance(0.3),
  };
}

function drawCreep(c: Chance, allowedPa: number): Creep {
  const lossPa = allowedPa * c.between(0, 0.3);
  return c.chance(0.5)
    ? { law: 'power', lossPa, exponent: c.between(0.15, 0.5) }
    : { law: 'logarithm', lossPa, timeS: c.octaves(3, 30) };
}

export function drawPump(c: Chance, targetPa: number): Pump {
  switch (c.pick(['steady', 'hand', 'booster'] as const)) {
    case 'steady':
      return { kind: 'steady', paPerS: c.octaves(2e5, 9e5) };
    case 'hand':
      return { kind: 'hand', paPerS: c.octaves(2e5, 4e5), strokeS: c.between(0.8, 2), uneven: c.between(0.1, 0.3) };
    case 'booster':
      return {
        kind: 'booster',
        paPerS: c.octaves(3e5, 9e5),
        pauseAtPa: targetPa * c.between(0.5, 0.65),
        pauseS: c.between(3, 12),
        strokePa: c.between(2e5, 4e5),
        strokeS: c.between(0.8, 1.5),
      };
  }
}

/** Longest that the shipped procedure lets a hold settle, and a little. */
const settleS = 630;

function drawOperator(c: Chance, targetPa: number, dwellS: number): OperatorPlan {
  const pump = drawPump(c, targetPa);
  const over = c.chance(0.2);
  return {
    quietBeforeS: 15,
    pump,
    aimPa: targetPa * (over ? c.between(1.03, 1.038) : c.between(1.01, 1.03)),
    letBackToPa: over ? targetPa * c.between(1.008, 1.025) : null,
    topUps: [],
    feeds: [],
    valveShutAtS: null,
    heldS: dwellS + settleS,
    bleedTauS: c.between(2, 5),
  };
}

/** An ordinary digital gauge: white or slightly correlated noise about its digits. */
function drawGauge(c: Chance, targetPa: number): Gauge {
  const lineHz = c.pick([1, 2, 2, 5, 10]);
  const sdPa = c.octaves(0.02e5, 0.12e5);
  return {
    rangePa: targetPa < 280e5 ? 400e5 : 600e5,
    resolutionPa: c.pick([0.01e5, 0.05e5, 0.1e5, 0.1e5]),
    lineHz,
    updateHz: lineHz,
    jitter: c.pick([0, 0.01, 0.05]),
    noise: c.chance(0.7) ? { kind: 'white', sdPa } : { kind: 'ar1', sdPa, coefficient: c.between(0.3, 0.7) },
    filter: null,
    zeroOffsetPa: c.between(-0.1e5, 0.1e5),
    zeroCreepPaPerS: c.between(-0.05e5, 0.05e5) / 1000,
  };
}

function drawProbe(c: Chance, asked: Fixed['probe']): Probe | null {
  if (asked === null || asked === undefined) return null;
  const kind = asked;
  return {
    kind,
    lagS: kind === 'lag' ? c.octaves(5, 60) : c.between(1, 4),
    resolutionK: kind === 'steps' ? 0.1 : c.pick([0.001, 0.01]),
    offsetK: kind === 'offset' ? c.between(-3, 3) : c.between(-0.2, 0.2),
    noiseK: kind === 'steps' ? c.between(0, 0.02) : c.between(0.001, 0.01),
  };
}
