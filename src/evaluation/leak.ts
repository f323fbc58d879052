import type { TrappedOil } from '../hydraulics/index.js';
import type { BudgetLine } from './result.js';
import { type Expanded, expand } from './uncertainty/combine.js';

/** A leak rate with its uncertainty budget, m3/s. */
export interface LeakRate extends Expanded {
  readonly leakM3PerS: number;
  readonly budget: readonly BudgetLine[];
}

/**
 * Leak rate Q = (V/K) dp/dt; positive for oil lost.
 * @example leakRate(3.92699e-3, 1.5e9, 5e5 / 300) // 4.36332e-9 m3/s = 0.261799 mL/min
 */
export const leakRate = (volumeM3: number, bulkModulusPa: number, ratePaPerS: number): number =>
  (volumeM3 / bulkModulusPa) * ratePaPerS;

/** The rate of fall that a leak makes, Pa/s: the inverse of {@link leakRate}. */
export const rateOfLeak = (volumeM3: number, bulkModulusPa: number, leakM3PerS: number): number =>
  (leakM3PerS * bulkModulusPa) / volumeM3;

/** The same with the uncertainties of drop, volume and stiffness combined. */
export function leakWithUncertainty(trapped: TrappedOil, dropPa: number, drop: Expanded, dwellS: number): LeakRate {
  const leak = leakRate(trapped.volumeM3, trapped.bulkModulusPa, dropPa / dwellS);
  const perPa = leakRate(trapped.volumeM3, trapped.bulkModulusPa, 1 / dwellS);
  const dof = Number.isFinite(drop.degreesOfFreedom) ? drop.degreesOfFreedom : null;
  const budget: BudgetLine[] = [
    {
      of: 'leak',
      name: 'pressure drop',
      u: drop.u * perPa,
      degreesOfFreedom: dof,
      distribution: 't',
      basis: 'the budget of the drop',
    },
    part('trapped volume', (Math.abs(leak) * trapped.volumeUM3) / trapped.volumeM3, trapped.basis),
    part('stiffness', (Math.abs(leak) * trapped.bulkModulusUPa) / trapped.bulkModulusPa, trapped.basis),
  ];
  return { leakM3PerS: leak, budget, ...expand(budget) };
}

const part = (name: string, u: number, basis: string): BudgetLine => ({
  of: 'leak',
  name,
  u,
  degreesOfFreedom: null,
  distribution: 'normal',
  basis,
});
