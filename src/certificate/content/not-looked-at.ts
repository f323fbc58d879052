import { isInspected, type TestResult } from '../../evaluation/index.js';
import { gaugesInTest } from '../../procedure/index.js';
import type { TestHeader } from '../../record/index.js';

/** What a shop may demand of a test before it is certified. */
export type CertificateDemand = 'calibration' | 'inspection';

/** Something that nobody looked at: a gauge without a stated calibration, a port that nobody is on record as having inspected. */
export interface NotLookedAt {
  readonly demand: CertificateDemand;
  /** Serial of the gauge, or name of the port. */
  readonly of: string;
}

/** What was not looked at in a test: a deviation on its paper, whatever the verdict. */
export const notLookedAt = (
  { plan }: Pick<TestHeader, 'plan'>,
  { ports }: Pick<TestResult, 'ports'>,
): readonly NotLookedAt[] => [
  ...gaugesInTest(plan)
    .filter(({ spec, calibration }) => spec !== null && calibration === undefined)
    .map(({ serial }): NotLookedAt => ({ demand: 'calibration', of: serial })),
  ...ports
    .filter(({ observations, stages, events }) => {
      const last = stages.at(-1);
      return observations.length === 0 && !(last && isInspected(last, events));
    })
    .map(({ port }): NotLookedAt => ({ demand: 'inspection', of: port })),
];
