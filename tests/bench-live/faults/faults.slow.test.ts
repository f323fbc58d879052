import { describe, it } from 'vitest';
import { faultCases } from './fault-cases.js';
import { runSpoilt } from './faulty-bench.js';
import { expectAsSaid } from './spoilt-test.js';

describe.concurrent('a fault in a running test', { timeout: 90_000 }, () => {
  it.each(faultCases.map((one) => [one.name, one] as const))('%s', async (_, faultCase) => {
    expectAsSaid(await runSpoilt(faultCase), faultCase);
  });
});
