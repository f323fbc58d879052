import { describe, expect, it } from 'vitest';
import { agreementOf } from './agreement.js';

/**
 * The stated uncertainties are standard ones, and the bench draws the truth from them: within k = 2 lie 95.4 % of 200,
 * 191 with a standard deviation of 3. Fewer than 182 would be three of those too few.
 */
describe('200 random jobs on the simulated bench', async () => {
  const jobs = 200;
  const agreement = await agreementOf(jobs);

  it.each(['oil', 'oilWithHeat', 'thermal'] as const)('%s within the stated uncertainty', (name) =>
    expect(agreement[name]).toBeGreaterThanOrEqual(182),
  );

  it('a tight cylinder stays within what the dwell resolves: at least 95 in 100', () =>
    expect(agreement.tightStaysQuiet).toBeGreaterThanOrEqual(0.95 * jobs));

  it('twice the smallest resolvable leak is seen: at least 95 in 100', () =>
    expect(agreement.leakIsSeen).toBeGreaterThanOrEqual(0.95 * jobs));
});
