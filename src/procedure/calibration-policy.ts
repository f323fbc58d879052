import type { Finding } from './plan-types.js';

/** What the shop lets a calibration that does not hold do to a test. `stop` must be overruled by a named person. */
export interface CalibrationPolicy {
  /** None is on file. */
  readonly missing: Finding['grade'];
  readonly outOfDate: Finding['grade'];
  /** The highest pressure of the test lies outside what was calibrated. */
  readonly notCovering: Finding['grade'];
  /** Days before the due date from which it is noted. */
  readonly noticeDays: number;
}

/** What holds where the shop file says nothing: the program's own choice. */
export const usualCalibrationPolicy: CalibrationPolicy = {
  missing: 'warn',
  outOfDate: 'stop',
  notCovering: 'stop',
  noticeDays: 30,
};
