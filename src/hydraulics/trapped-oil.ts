import { type Pressure, rootSumSquares } from '../units/index.js';
import { expansionAtPerK, tangentModulusPa } from './fluids.js';
import { steelExpansionPerK } from './geometry.js';
import { thermalPressurePaPerK } from './heat.js';
import { type AirProcess, airGivePerPa, airRelU, type ShutIn, type ShutInGive, shutInGive } from './stiffness.js';

/**
 * The oil shut in by a hold, as the evaluation needs it. Standard uncertainties (k = 1).
 * Leak rate = (volumeM3 / bulkModulusPa) x rate of fall; thermal drop = thermalPaPerK x cooling.
 */
export interface TrappedOil {
  readonly volumeM3: number;
  readonly volumeUM3: number;
  /** Effective stiffness of oil (its tangent modulus at the pressure), entrained air, barrel and hose together. */
  readonly bulkModulusPa: number;
  readonly bulkModulusUPa: number;
  /** Pressure change per kelvin of oil temperature, walls allowed for. */
  readonly thermalPaPerK: number;
  readonly thermalUPaPerK: number;
  /** How each figure came about, for the certificate. */
  readonly basis: string;
}

/** Whether a barrel has warmed along with its oil is seldom known: that much of its expansion, as a share of itself. */
const wallWarmthRelU = 0.3;

/**
 * Volume, stiffness and thermal pressure of a hold at a gauge pressure, with their standard uncertainties. Oil, barrel
 * wall (Lame) when its outside is known, hose and air act one behind the other. Figures that the job states are taken
 * exactly as given.
 * @throws DwellmarkError (`input`) when the hold shuts in no oil.
 * @example 100/56 x 500 mm on A extended at 250 bar, ISO VG 46, barrel 120 mm: 3.927 L, 1.513 GPa, 9.1 bar/K
 */
export function trappedOil(hold: ShutIn & { readonly atPa: Pressure; readonly airProcess?: AirProcess }): TrappedOil {
  const oilPa = tangentModulusPa(hold.fluid, hold.atPa);
  const give = shutInGive(hold, oilPa);
  const stated = hold.override?.bulkModulusPa;
  const airM3PerPa = stated === undefined ? give.freeAirM3 * airGivePerPa(hold.atPa, hold.airProcess ?? 'slow') : 0;
  const giveM3PerPa = give.oilM3PerPa + give.wallM3PerPa + give.hoseM3PerPa + airM3PerPa;
  const bulkModulusPa = stated ?? give.volumeM3 / giveM3PerPa;
  const stiffnessRelU = rootSumSquares(give.uM3PerPa, airRelU * airM3PerPa) / giveM3PerPa;
  const thermal = thermalPart(hold, give, bulkModulusPa, stiffnessRelU);
  return {
    volumeM3: give.volumeM3,
    volumeUM3: give.volumeUM3,
    bulkModulusPa,
    bulkModulusUPa: stiffnessRelU * bulkModulusPa,
    thermalPaPerK: thermal.paPerK,
    thermalUPaPerK: thermal.uPaPerK,
    basis: basisOf(hold, give, oilPa),
  };
}

function thermalPart(
  hold: ShutIn & { readonly atPa: Pressure },
  give: ShutInGive,
  stiffnessPa: number,
  stiffnessRelU: number,
) {
  const statedPerK = hold.override?.expansionPerK;
  const expansionPerK = statedPerK ?? expansionAtPerK(hold.fluid, hold.atPa);
  const wallKnown = give.wallPa !== undefined && statedPerK === undefined;
  const paPerK = thermalPressurePaPerK({ stiffnessPa, expansionPerK, barrel: wallKnown ? 'warms along' : 'cold' });
  const steelRelU = ((wallKnown ? wallWarmthRelU : 1 / Math.sqrt(3)) * 3 * steelExpansionPerK) / expansionPerK;
  const relU = rootSumSquares(stiffnessRelU, hold.fluid.expansionRelU, steelRelU);
  return { paPerK, uPaPerK: relU * paPerK };
}

function basisOf(hold: ShutIn & { readonly atPa: Pressure }, give: ShutInGive, oilPa: number): string {
  const volume =
    hold.override?.volumeM3 === undefined
      ? `Volume: chamber ${hold.port}, piston ${hold.position}, {volume:${give.chamberM3}}, and lines {volume:${hold.lineVolumeM3}}.`
      : `Volume: {volume:${give.volumeM3}} as the job states.`;
  if (hold.override?.bulkModulusPa !== undefined)
    return `${volume} Stiffness: {modulus:${hold.override.bulkModulusPa}} as the job states. ${expansionBasis(hold, give)}`;
  const wall =
    give.wallPa === undefined ? 'barrel taken as rigid' : `barrel wall {modulus:${Math.round(give.wallPa)}} (Lame)`;
  const hose = hold.hoseStiffnessPa === undefined ? 'lines taken as rigid' : `hoses {modulus:${hold.hoseStiffnessPa}}`;
  const air =
    (hold.airFraction ?? 0) > 0
      ? `${Number(((hold.airFraction ?? 0) * 100).toPrecision(3))} % free air`
      : 'no free air';
  const at = hold.fluid.secantRise === undefined ? '' : ` at {pressure:${hold.atPa}}`;
  const oil = `${hold.fluid.name} {modulus:${Number(oilPa.toPrecision(6))}}${at}`;
  return `${volume} Stiffness: ${oil}, ${wall}, ${hose}, ${air}. ${expansionBasis(hold, give)}`;
}

function expansionBasis(hold: ShutIn, give: ShutInGive): string {
  if (hold.override?.expansionPerK !== undefined)
    return `Expansion: {expansion:${hold.override.expansionPerK}} as the job states.`;
  const walls = give.wallPa === undefined ? 'walls not allowed for' : 'less that of the steel barrel';
  return `Expansion: ${hold.fluid.name} {expansion:${hold.fluid.expansionPerK}}, ${walls}.`;
}
