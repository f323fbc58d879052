export { type ActKind, actKinds, type LedgerLine, type LedgerMark } from './act-kinds.js';
export {
  type CertificateRecord,
  certificates,
  type IssuedCertificate,
  issueCertificate,
  nextCertificateNumber,
  testVoid,
  type VoidMark,
  voidCertificate,
  voidTest,
} from './certificates.js';
export {
  type Change,
  type Correctable,
  type Correction,
  changesFault,
  correctable,
  correctableName,
  corrected,
  correctionsIn,
  correctTest,
  textOf,
} from './corrections.js';
export {
  calibrationsOf,
  type EnteredCalibration,
  enterCalibration,
  enterGauge,
  enterProbe,
  type GaugeRecord,
  gauges,
  type KnownGauge,
} from './gauges.js';
export { type ActAbout, type Clocks, isoWithOffset, Ledger, type LedgerRow } from './ledger.js';
export {
  type EnrolledSigner,
  enrolSigner,
  revokeSigner,
  type SignerRecord,
  type StoredSignature,
  signaturesOn,
  signers,
} from './signers.js';
