/**
 * The oil shut in by a hold, as the evaluation needs it. Standard uncertainties (k = 1).
 * Leak rate = (volumeM3 / bulkModulusPa) x rate of fall; thermal drop = thermalPaPerK x cooling.
 */
export interface TrappedOil {
  readonly volumeM3: number;
  readonly volumeUM3: number;
  /** Effective stiffness of oil, entrained air, barrel and hose together. */
  readonly bulkModulusPa: number;
  readonly bulkModulusUPa: number;
  /** Pressure change per kelvin of oil temperature, walls allowed for. */
  readonly thermalPaPerK: number;
  readonly thermalUPaPerK: number;
  /** How each figure came about, for the certificate. */
  readonly basis: string;
}
