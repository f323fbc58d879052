export type {
  BudgetLine,
  Diagnosis,
  DiagnosisShape,
  EvaluationFlag,
  PortResult,
  StageResult,
  StiffnessResult,
  TestResult,
  Verdict,
} from './result.js';
