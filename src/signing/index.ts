export { maySign, roleFor, type SignatureRules, type SigningQuestion } from './may-sign.js';
export { type PassphraseSource, readNewPassphrase, readPassphrase } from './passphrase.js';
export { passphraseWeakness } from './passphrase-rule.js';
export { type PdfAttachment, readPdfAttachments } from './pdf/attachments.js';
export {
  certificateFingerprint,
  createShopIdentity,
  exportRootPem,
  loadShopIdentity,
  type NewShopIdentity,
  renewShopCertificate,
  type ShopIdentity,
} from './pdf/shop-identity.js';
export { signPdf, withoutSignature } from './pdf/sign.js';
export { type PdfSignatureReport, type PdfVerification, verifyPdfSignature } from './pdf/verify.js';
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
export { missingSignatures } from './required-signatures.js';
export {
  changePassphrase,
  createSigner,
  type NewSigner,
  type UnlockedSigner,
  UnlockRefused,
  unlockSigner,
} from './signer.js';
