export { maySign, type SignatureRules, type SigningQuestion } from './may-sign.js';
export { type PdfAttachment, readPdfAttachments } from './pdf/attachments.js';
export {
  certificateFingerprint,
  createShopIdentity,
  exportRootPem,
  loadShopIdentity,
  renewShopCertificate,
  type ShopIdentity,
} from './pdf/shop-identity.js';
export { signPdf, withoutSignature } from './pdf/sign.js';
export { reserveSignature, type SignatureFieldOptions } from './pdf/signature-field.js';
export { type PdfSignatureReport, verifyPdfSignature } from './pdf/verify.js';
export { type PassphraseSource, readNewPassphrase, readPassphrase } from './people/passphrase.js';
export { passphraseWeakness } from './people/passphrase-rule.js';
export { keyFingerprint, listSigners, type SignerPublic } from './people/person-file.js';
export {
  changePassphrase,
  createSigner,
  type UnlockedSigner,
  UnlockRefused,
  unlockSigner,
} from './people/signer.js';
export {
  type RecordToSign,
  recordSignatureDomain,
  signedBytes,
  signRecord,
  verifyRecordSignature,
} from './record-signature.js';
export { missingSignatures } from './required-signatures.js';
