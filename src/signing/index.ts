export { maySign, roleFor, type SignatureRules, type SigningQuestion } from './may-sign.js';
export { type PassphraseSource, readNewPassphrase, readPassphrase } from './passphrase.js';
export { passphraseWeakness } from './passphrase-rule.js';
export { reserveSignature, type SignatureFieldOptions } from './pdf-placeholder.js';
export { keyFingerprint, listSigners, type SignerPublic } from './person-file.js';
export {
  type ExpectedSignature,
  type RecordToSign,
  recordSignatureDomain,
  signedBytes,
  signRecord,
  verifyRecordSignature,
} from './record-signature.js';
export {
  changePassphrase,
  createSigner,
  type NewSigner,
  type UnlockedSigner,
  UnlockRefused,
  unlockSigner,
} from './signer.js';
