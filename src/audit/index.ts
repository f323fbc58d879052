export type { About } from './about.js';
export { statementOf } from './acts-of-authority.js';
export { hasAuthority } from './check-authority.js';
export { correctionTexts } from './check-corrections.js';
export { checkedLater, type Judging, type Surroundings } from './checked-later.js';
export type { Judge } from './checked-now.js';
export { checkedTest, demandSoundLedger, testChecker } from './checked-test.js';
export { exportParquet } from './export/parquet.js';
export { csvRow, exportCsv, exportJson } from './export/text.js';
export { exportXlsx } from './export/xlsx.js';
export { type CheckReport, Findings, type Problem } from './findings.js';
export type { HoldsCompared } from './history/compare-holds.js';
export { type CylinderHistory, type CylinderHold, cylinderHistory } from './history/cylinder-history.js';
export { type FoundAndLeft, foundAndLeft, lastPair } from './history/found-and-left.js';
export { type ComparableHolds, comparableHolds, type LeakTrend } from './history/leak-trend.js';
export { judgementOf, judgeStored } from './judge-stored.js';
export { entryText, type LedgerEntry, ledgerEntry } from './ledger-entry.js';
export { demandFindable, listedTests } from './listed-tests.js';
export { type OutsideAnchor, outsideAnchor } from './outside-anchor.js';
export { bundleOfPaper, isPaperRecord, paperRecord } from './paper-attachments.js';
export { type Decided, decideRecall, type RecallDecision } from './recall/decide.js';
export { type Decision, decisions, dispositionIn } from './recall/disposition.js';
export { type GaugeError, gaugeError } from './recall/gauge-error.js';
export { type RecallLine, type RecallQuestion, recall } from './recall/recall.js';
export type { AuditReport } from './report/audit-report.js';
export { auditOnAllCores } from './report/audit-store.js';
export { otherProcedure } from './report/other-procedure.js';
export { auditText, outcomeText } from './report/report-text.js';
export { isSignedReport, reportDocument, reportStatement, signedReportText } from './report/signed-report.js';
export { verifyReport } from './report/verify-report.js';
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
