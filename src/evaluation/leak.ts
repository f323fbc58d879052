import { leakForDecayM3PerS, type TrappedOil } from '../hydraulics/index.js';
import type { BudgetLine } from './result.js';
import { type Expanded, expand } from './uncertainty.js';

/** A leak rate with its uncertainty budget, m3/s. */
export interface LeakRate extends Expanded {
  readonly leakM3PerS: number;
  readonly budget: readonly BudgetLine[];
}

/** Leak rate Q = (V/K) dp/dt, positive for oil lost, with the uncertainties of drop, volume and stiffness combined. */
export function leakWithUncertainty(trapped: TrappedOil, dropPa: number, drop: Expanded, dwellS: number): LeakRate {
  const leak = leakForDecayM3PerS(trapped, dropPa / dwellS);
  const perPa = leakForDecayM3PerS(trapped, 1 / dwellS);
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
