export type { About } from './about.js';
export { correctionTexts, hasAuthority, statementOf } from './check-authority.js';
export { checkedLater, type Judging, type Surroundings } from './checked-later.js';
export type { Judge } from './checked-test.js';
export { checkedTest, demandSoundLedger, judgementOf, judgeStored, testChecker } from './checked-test.js';
export { exportParquet } from './export/parquet.js';
export { csvRow, exportCsv, exportJson } from './export/text.js';
export { exportXlsx } from './export/xlsx.js';
export { type CheckReport, Findings, type Problem } from './findings.js';
export type { HoldsCompared } from './history/compare-holds.js';
export { type CylinderHistory, type CylinderHold, cylinderHistory } from './history/cylinder-history.js';
export { type FoundAndLeft, foundAndLeft, lastPair } from './history/found-and-left.js';
export { type ComparableHolds, comparableHolds, type LeakTrend } from './history/leak-trend.js';
export { entryText, type LedgerEntry, ledgerEntry } from './ledger-entry.js';
export { demandFindable, listedTests } from './listed-tests.js';
export { type OutsideAnchor, outsideAnchor } from './outside-anchor.js';
export { bundleOfPaper, isPaperRecord, paperRecord } from './paper-pages.js';
export {
  type Decided,
  type Decision,
  decideRecall,
  decisions,
  dispositionIn,
  type RecallDecision,
} from './recall/disposition.js';
export { type GaugeError, gaugeError } from './recall/gauge-error.js';
export { type RecallLine, type RecallQuestion, recall } from './recall/recall.js';
export { auditOnAllCores } from './report/audit-store.js';
export { otherProcedure } from './report/judged.js';
export type { AuditReport } from './report/report-text.js';
export { auditText, outcomeText } from './report/report-text.js';
export {
  isSignedReport,
  reportDocument,
  reportStatement,
  signedReportText,
  verifyReport,
} from './report/signed-report.js';
export { checkStanding } from './standing.js';
export { verifyOnAllCores } from './threads/verify-on-all-cores.js';
export { verifyStore, verifyTest } from './verify.js';
export {
  asSignature,
  type BundleReport,
  checkBundle,
  openBundle,
  signedByKnown,
  signersIn,
  verifyBundle,
} from './verify-bundle.js';
export { verifyPdf } from './verify-pdf.js';
