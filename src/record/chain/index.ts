export { type Answer, type Ask, type Asking, ed25519Fits, sha256 } from './asking.js';
export { emptyLook, isLinkKind, lookAt, packBlock, type QuickLook, unpackBlock } from './block.js';
export { ByteReader, ByteWriter, damaged, unzigzag, zigzag } from './bytes.js';
export { canonicalBytes, canonicalJson, sha256Hex } from './canonical-json.js';
export { GatheredReadings } from './gathered-readings.js';
export { headerHead, ledgerHead, ledgerRoot, linkHead, sealHead } from './hash-chain.js';
export { headerBytes, type Link, type LinkKind, ledgerBytes, linkBytes, linkKinds, sealBytes } from './hashed-bytes.js';
export { base64Bytes, bytesText, hexBytes, hexOf, sameBytes, textBytes } from './text-bytes.js';
export { decodeReadings, encodeReadings, holdsReadings, readingsKind, traceStart } from './trace-encoding.js';
