export type { Judge } from './check-record.js';
export type { CheckCounts, CheckReport, Problem } from './findings.js';
export { type VerifyOptions, verifyStore, verifyTest } from './verify.js';
export { verifyBundle } from './verify-bundle.js';
