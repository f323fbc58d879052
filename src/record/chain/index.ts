export { emptyLook, isLinkKind, lookAt, packBlock, type QuickLook, unpackBlock } from './block.js';
export { damaged } from './bytes.js';
export { canonicalBytes, canonicalJson, sha256Hex } from './canonical-json.js';
export {
  headerHead,
  type Link,
  type LinkKind,
  ledgerHead,
  ledgerRoot,
  linkHead,
  linkKinds,
  sealHead,
} from './hash-chain.js';
export { decodeReadings, encodeReadings, traceStart } from './trace-encoding.js';
