import type { CalibrationPolicy } from '../../calibration-policy.js';
import type { Job } from '../../job.js';
import type { Finding, TestPlan } from '../../plan-types.js';
import type { Procedure } from '../../procedure.js';
import type { PlanFigures } from '../figures.js';
import { calibrationFindings } from './calibration.js';
import { decayFindings } from './decay.js';
import { gaugeFindings } from './gauge.js';
import { jobFindings } from './job.js';
import { pressureFindings } from './pressure.js';

/** All that a finding may rest on. */
export interface Grounds {
  readonly job: Job;
  readonly procedure: Procedure;
  readonly plan: TestPlan;
  readonly figures: PlanFigures;
  readonly policy: CalibrationPolicy;
  /** ISO date of the test, or null. */
  readonly on: string | null;
}

const rank: Readonly<Record<Finding['grade'], number>> = { stop: 0, warn: 1, note: 2 };

/** Everything that speaks against the test or ought to be known, the gravest first. */
export function findingsOf(grounds: Grounds): readonly Finding[] {
  return [
    ...pressureFindings(grounds),
    ...gaugeFindings(grounds),
    ...calibrationFindings(grounds),
    ...decayFindings(grounds),
    ...jobFindings(grounds),
  ].sort((a, b) => rank[a.grade] - rank[b.grade]);
}
