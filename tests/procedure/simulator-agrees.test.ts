import { expect, it } from 'vitest';
import { agreementOf } from './agreement.js';

it('ten random jobs on the simulated bench: at least nine as planned, in each respect', async () => {
  const agreement = await agreementOf(10);
  for (const count of Object.values(agreement)) expect(count).toBeGreaterThanOrEqual(9);
});
