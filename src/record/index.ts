export { type BundleLine, bundleLines, type LooseLedgerLine } from './bundle.js';
export {
  type Answer,
  type Ask,
  type Asking,
  base64Bytes,
  bytesText,
  canonicalJson,
  decodeReadings,
  ed25519Fits,
  emptyLook,
  GrowingColumn,
  headerBytes,
  headerHead,
  hexBytes,
  hexOf,
  holdsReadings,
  isLinkKind,
  type Link,
  ledgerBytes,
  ledgerHead,
  ledgerRoot,
  linkBytes,
  linkKinds,
  lookAt,
  type QuickLook,
  sameBytes,
  sealBytes,
  sha256,
  sha256Hex,
  textBytes,
  traceStart,
  unpackBlock,
} from './chain/index.js';
export { fileLimits, readGivenFile, readGivenText } from './file/index.js';
export type { TestHeader } from './header.js';
export {
  type ClockMark,
  commitEvery,
  oneByOne,
  parsedInput,
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
  actKinds,
  type Change,
  type Correctable,
  type Correction,
  changesFault,
  correctable,
  correctableName,
  corrected,
  correctionsIn,
  type EnrolledSigner,
  type EnteredCalibration,
  type IssuedCertificate,
  isoWithOffset,
  type KnownGauge,
  type LedgerLine,
  type LedgerMark,
  type LedgerRow,
  type SignerRecord,
  type StoredSignature,
  textOf,
} from './ledger/index.js';
export type { RawRows, RawTest } from './raw-rows.js';
export type { SealMark, TestSeal } from './seal.js';
export type { RecordSignature, Role, SignatureMeaning, StatementSignature } from './signature.js';
export { openStore, type Store } from './store.js';
export { StoreCopy } from './store-copy.js';
export type { StoredTest } from './stored-test.js';
