export type { CalibrationSpec, GaugeSpec } from './gauge-spec.js';
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
