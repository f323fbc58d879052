export { type CalibrationPolicy, usualCalibrationPolicy } from './calibration-policy.js';
export { type CautionMoment, cautionsFor, dangersOf } from './cautions.js';
export type { CalibrationPoint, CalibrationSpec, Correction, GaugeSpec, OilProbeSpec } from './gauge-spec.js';
export type { Job, JobBench, JobGauge, JobPort } from './job.js';
export { type FactRow, factRows, type JobFacts, namedFacts, purposes } from './job-facts.js';
export { allowedDropPa, type GoverningLimit, governingLimit } from './plan/allowed-decay.js';
export type { Assumed, GaugeFigures, PlanFigures, PortFigures, StageFigures } from './plan/figures.js';
export { serviceLeakM3PerS } from './plan/findings/decay.js';
export { collectedAmount } from './plan/findings/marks.js';
export { type GaugeDuty, type GaugeInTest, gaugeAt, gaugesInTest, gaugesOfPlan, spokenDuty } from './plan/gauges-of.js';
export { type MadePlan, makePlan, type OtherGauges, type PlanDemand } from './plan/make-plan.js';
export {
  type DwellConditions,
  dwellNeededS,
  gaugeAccuracyPa,
  gaugeStabilityPa,
  resolvableDropPa,
} from './plan/resolvable.js';
export { cardLines } from './plan/text/card.js';
export { cautionLines, cautionsOf } from './plan/text/caution-lines.js';
export { type CoursePart, type CoursePiece, expectedCourse } from './plan/text/expected-course.js';
export { planLines } from './plan/text/plan-text.js';
export { pressurePicture } from './plan/text/pressure-picture.js';
export { stepLines } from './plan/text/step-lines.js';
export { wrap } from './plan/text/wrap.js';
export type {
  AllowedDecay,
  CollectedDemand,
  DecisionRule,
  Finding,
  PortPlan,
  ProcedureIdentity,
  StagePlan,
  StiffnessDemand,
  StrokeDemand,
  StrokeLimits,
  TestPlan,
} from './plan-types.js';
export type { DecayLimit, Level, Procedure, ProcedureStage } from './procedure.js';
export { readCalibration, readProbeCalibration } from './reading/calibration-table.js';
export { parseCollected } from './reading/collected-amount.js';
export { words } from './reading/fields.js';
export { gaugeOf, gaugeTable, parseAccuracy, readGauge } from './reading/gauge-table.js';
export { parseLevel } from './reading/level.js';
export { jobSchema, readJob } from './reading/load-job.js';
export { procedureDefaults, readProcedure } from './reading/load-procedure.js';
export { parseTemperatureRange, probeOf, probeTable, readProbe } from './reading/probe-table.js';
export { procedureTable } from './reading/procedure-table.js';
export { parseRange as parsePressureRange } from './reading/range.js';
export { readToml, refusal, shaped } from './reading/toml-text.js';
