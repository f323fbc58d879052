export { type CalibrationPolicy, usualCalibrationPolicy } from './calibration-policy.js';
export { cautionsFor, dangersOf } from './cautions.js';
export type { CalibrationPoint, CalibrationSpec, Correction, GaugeSpec, OilProbeSpec } from './gauge-spec.js';
export type { Job, JobPort } from './job.js';
export { type FactRow, factRows, type JobFacts, namedFacts, purposes } from './job-facts.js';
export { governingLimit } from './plan/allowed-decay.js';
export { collectedAmount } from './plan/findings/marks.js';
export { type GaugeDuty, type GaugeInTest, gaugeAt, gaugesInTest, gaugesOfPlan, spokenDuty } from './plan/gauges-of.js';
export { type MadePlan, makePlan, type OtherGauges } from './plan/make-plan.js';
export { cardLines } from './plan/text/card.js';
export { cautionLines, cautionsOf } from './plan/text/caution-lines.js';
export { planLines } from './plan/text/plan-text.js';
export { stepLines } from './plan/text/step-lines.js';
export { wrap } from './plan/text/wrap.js';
export type {
  AllowedDecay,
  CollectedDemand,
  DecisionRule,
  Finding,
  PortPlan,
  StagePlan,
  StrokeDemand,
  StrokeLimits,
  TestPlan,
} from './plan-types.js';
export type { Procedure } from './procedure.js';
export { readCalibration, readProbeCalibration } from './reading/calibration-table.js';
export { parseCollected } from './reading/collected-amount.js';
export { words } from './reading/fields.js';
export { gaugeOf, gaugeTable, parseAccuracy, readGauge } from './reading/gauge-table.js';
export { jobSchema, readJob } from './reading/load-job.js';
export { readProcedure } from './reading/load-procedure.js';
export { parseTemperatureRange, probeOf, probeTable, readProbe } from './reading/probe-table.js';
export { procedureTable } from './reading/procedure-table.js';
export { parseRange as parsePressureRange } from './reading/range.js';
export { readToml, refusal, shaped } from './reading/toml-text.js';
