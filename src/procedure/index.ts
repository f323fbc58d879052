export type { CalibrationSpec, GaugeSpec } from './gauge-spec.js';
export type { Job, JobBench, JobGauge, JobPort } from './job.js';
export type {
  AllowedDecay,
  DecisionRule,
  Finding,
  PortPlan,
  ProcedureIdentity,
  StagePlan,
  StiffnessDemand,
  TestPlan,
} from './plan-types.js';
export type { DecayLimit, Level, Procedure, ProcedureStage } from './procedure.js';
export { parseAccuracy, parseRange, readGauge } from './reading/gauge-table.js';
export { parseLevel } from './reading/level.js';
export { readJob } from './reading/load-job.js';
export { procedureDefaults, readProcedure } from './reading/load-procedure.js';
