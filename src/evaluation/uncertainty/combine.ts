import { square } from '../../units/index.js';
import type { BudgetLine } from '../result.js';
import { studentTQuantile } from '../statistics/student-t.js';

/** A combined uncertainty and what it takes to state it at 95 %. */
export interface Expanded {
  /** Combined standard uncertainty. */
  readonly u: number;
  readonly degreesOfFreedom: number;
  readonly coverageFactor: number;
  /** Expanded, 95 %. */
  readonly expandedU: number;
}

/** One contribution: a standard uncertainty and its degrees of freedom, null for a bound taken as exactly known. */
export type Contribution = Pick<BudgetLine, 'u' | 'degreesOfFreedom'>;

/** Two-sided coverage of every expanded uncertainty here. */
const coverage = 0.95;

/**
 * Root sum of squares of independent contributions, with the effective degrees of freedom of Welch and Satterthwaite
 * (GUM G.4.1) and the coverage factor from Student's t.
 * @example expand([{ u: 3, degreesOfFreedom: null }, { u: 4, degreesOfFreedom: null }]).u // 5
 */
export function expand(contributions: readonly Contribution[]): Expanded {
  const u = Math.sqrt(contributions.reduce((sum, part) => sum + square(part.u), 0));
  let share = 0;
  for (const { u: part, degreesOfFreedom } of contributions)
    if (degreesOfFreedom !== null && part > 0) share += square(square(part / u)) / degreesOfFreedom;
  const degreesOfFreedom = share > 0 ? 1 / share : Number.POSITIVE_INFINITY;
  const coverageFactor = factorFor(degreesOfFreedom);
  return { u, degreesOfFreedom, coverageFactor, expandedU: coverageFactor * u };
}

const factorFor = (degreesOfFreedom: number): number => studentTQuantile((1 + coverage) / 2, degreesOfFreedom);
