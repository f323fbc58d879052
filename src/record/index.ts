export { type BundleLine, bundleLines, type LooseLedgerLine } from './bundle.js';
export {
  canonicalBytes,
  canonicalJson,
  decodeReadings,
  emptyLook,
  encodeReadings,
  headerHead,
  isLinkKind,
  type Link,
  ledgerHead,
  ledgerRoot,
  linkHead,
  linkKinds,
  lookAt,
  type QuickLook,
  sealHead,
  sha256Hex,
  traceStart,
  unpackBlock,
} from './chain/index.js';
export type { TestHeader } from './header.js';
export {
  type ClockMark,
  type CommitEvery,
  commitEvery,
  parsedInput,
  type RawLine,
  readingsOf,
  type StoredBlock,
  searchText,
  summaryRow,
  type TestFilter,
  type TestLine,
  type TestWriter,
  wordsOf,
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
  type LedgerRow,
  type SignerRecord,
  type StoredSignature,
  type VoidMark,
} from './ledger/index.js';
export type { RawRows, RawTest } from './raw-rows.js';
export type { SealMark, TestSeal } from './seal.js';
export type { RecordSignature, Role, SignatureMeaning } from './signature.js';
export { openStore, type Store } from './store.js';
export type { StoredTest, StoreOptions } from './stored-test.js';
