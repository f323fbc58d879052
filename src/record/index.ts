export {
  canonicalBytes,
  canonicalJson,
  decodeReadings,
  encodeReadings,
  type Link,
  type QuickLook,
  sha256Hex,
  traceStart,
} from './chain/index.js';
export type { TestHeader } from './header.js';
export {
  type ClockMark,
  type CommitEvery,
  commitEvery,
  type RawLine,
  type TestFilter,
  type TestLine,
  type TestWriter,
} from './holds/index.js';
export {
  type ActKind,
  actKinds,
  type CertificateRecord,
  type EnrolledSigner,
  type EnteredCalibration,
  type GaugeRecord,
  type IssuedCertificate,
  isoWithOffset,
  type KnownGauge,
  type LedgerLine,
  type LedgerMark,
  type SignerRecord,
  type StoredSignature,
  type VoidMark,
} from './ledger/index.js';
export type { SealMark, TestSeal } from './seal.js';
export type { RecordSignature, Role, SignatureMeaning } from './signature.js';
export { openStore, type Store, type StoredTest, type StoreOptions } from './store.js';
