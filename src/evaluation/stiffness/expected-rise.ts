import type { PortPlan } from '../../procedure/index.js';
import { rootSumSquares, square } from '../../units/index.js';

/** What the plan lets the rise take, m3 per Pa of rise, without free air. */
export interface ExpectedRise {
  /** Slow, all heat gone. */
  readonly slowM3PerPa: number;
  /** So quick that no heat leaves: oil that warms as it is pressed takes less. */
  readonly quickM3PerPa: number;
  /** Relative standard uncertainty of both. */
  readonly relU: number;
  /** The hose and fittings alone; null when the plan does not know them. */
  readonly line: { readonly m3PerPa: number; readonly uM3PerPa: number } | null;
  /** Free air that the job admits, share of the volume. */
  readonly admittedAir: number;
}

/** Heat that a volume of oil takes for a kelvin, J/(m3 K): mineral oil 870 kg/m3 x 1900 J/(kg K). Water twice that. */
const heatJPerM3K = 870 * 1900;
const roomK = 293.15;
/** A line's volume is seldom known better (common practice, no source). */
const lineVolumeRelU = 0.1;

/**
 * Oil that the rise takes when the cylinder is there. Quick against slow pumping: share K gamma2 T/(rho cp) less, with
 * gamma as the plan's thermal pressure over its stiffness.
 * @example 1.5 GPa, 10.5 bar/K: quick pumping takes 13 % less
 */
export function expectedRise(port: PortPlan): ExpectedRise | null {
  const { oilM3, oilUM3, airFraction, line } = port.stiffness;
  const targetPa = port.stages.at(-1)?.targetPa ?? 0;
  const { volumeM3, thermalPaPerK, bulkModulusPa } = port.trapped;
  const admittedAir = airFraction ?? 0;
  const solidM3 = oilM3 - admittedAir * volumeM3;
  if (!(targetPa > 0 && solidM3 > 0)) return null;
  const slowM3PerPa = solidM3 / targetPa;
  const heatShare = Math.min(0.3, (square(thermalPaPerK) * roomK) / (bulkModulusPa * heatJPerM3K));
  return {
    slowM3PerPa,
    quickM3PerPa: slowM3PerPa * (1 - heatShare),
    relU: oilUM3 / solidM3,
    line: line
      ? {
          m3PerPa: line.oilM3 / targetPa,
          uM3PerPa: rootSumSquares(line.oilUM3, lineVolumeRelU * line.oilM3) / targetPa,
        }
      : null,
    admittedAir,
  };
}
