export {
  type Calibration,
  type CalibrationHistory,
  type CalibrationPoint,
  type Correction,
  calibrationOn,
  enterCalibration,
} from './calibration.js';
export { correctedPa, correctedReading, correctionAt, errorAt } from './correction.js';
export {
  type CalibrationPolicy,
  calibrationFindings,
  type DoubtWindow,
  doubtWindow,
  strictPolicy,
} from './findings.js';
