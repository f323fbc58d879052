import type { PortName } from '../../src/hydraulics/index.js';
import type { LeakLaw } from './hydraulics/leak-law.js';
import type { SimulatedPiston } from './motion/piston.js';
import type { OperatorScript } from './operator.js';

/** The hydraulic bench with one port of one cylinder on it, as plain JSON. SI throughout, pressures gauge. */
export interface SimulatedBench {
  readonly port: PortName;
  /** What the gauge really sees: the cylinder, the line behind a shut valve, or a plugged hose. */
  readonly connected: 'cylinder' | 'valve shut' | 'no cylinder';
  readonly chamber: SimulatedChamber;
  readonly line: SimulatedLine;
  readonly oil: SimulatedOil;
  readonly heat: SimulatedHeat;
  /** Soft parts that go on yielding: each takes `m3PerPa` x pressure, exponentially with `timeS`. */
  readonly creep: readonly { readonly m3PerPa: number; readonly timeS: number }[];
  readonly opposite: { readonly kind: 'open' } | { readonly kind: 'blocked' | 'gauge'; readonly deadVolumeM3: number };
  readonly leaks: {
    /** From the chamber under test to the opposite one. */
    readonly pistonSeal?: LeakLaw;
    /** From the chamber to the air. */
    readonly external?: LeakLaw;
    /** From the bench line to the air. */
    readonly fitting?: LeakLaw;
    /** From the bench line back through the bench's check valve. */
    readonly benchCheck?: LeakLaw;
  };
  /** A piston that strokes before the hold can move; absent: it stands at its end from the beginning. */
  readonly piston?: SimulatedPiston;
  /** A check valve on the cylinder: oil goes in, and comes back only through this leak. */
  readonly cylinderCheck?: { readonly leakBack?: LeakLaw };
  readonly supply: SimulatedSupply;
  readonly script: OperatorScript;
}

/** The volume under test. */
export interface SimulatedChamber {
  readonly volumeM3: number;
  /** Stiffness of the barrel, Pa (1/K_c of the bore's dilation); absent: rigid. */
  readonly wallModulusPa?: number;
}

/** Hose and fittings between the shut-off valve and the cylinder. */
export interface SimulatedLine {
  readonly volumeM3: number;
  readonly hoseM3PerPa: number;
}

export interface SimulatedOil {
  /** Isothermal bulk modulus without air, Pa. */
  readonly bulkModulusPa: number;
  readonly expansionPerK: number;
  readonly densityKgPerM3: number;
  readonly heatCapacityJPerKgK: number;
  /** Free air at atmospheric pressure, as a fraction of the volume. */
  readonly airFraction: number;
  /** Time constant with which free air goes into solution under pressure, s; absent: it doesn't. */
  readonly airDissolvesS?: number;
}

export interface SimulatedHeat {
  readonly oilStartK: number;
  readonly wallStartK: number;
  readonly ambientK: number;
  readonly ambientDriftKPerS: number;
  /** Time constant of oil to wall, s; Infinity is written as absent: no heat leaves. */
  readonly oilToWallS?: number;
  /** Time constant of wall to ambient, s; absent: none. */
  readonly wallToAmbientS?: number;
  /** Heat capacity of the oil over that of the wall. */
  readonly oilOverWall: number;
  /** Growth of the chamber's volume per kelvin of the wall. */
  readonly wallExpansionPerK: number;
  /** Oil warms as it is compressed. */
  readonly compressionHeat: boolean;
}

/** Pump, booster, relief valve and bleed valve of the bench. */
export interface SimulatedSupply {
  readonly pump: { readonly flowM3PerS: number; readonly limitPa: number };
  /** Air-driven: fewer strokes as the pressure nears the stall pressure. */
  readonly booster: { readonly strokeM3: number; readonly strokesPerS: number; readonly stallPa: number };
  readonly relief: { readonly crackPa: number; readonly m3PerSPerPa: number };
  readonly bleedM3PerSPerSqrtPa: number;
}
