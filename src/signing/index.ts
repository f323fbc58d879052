export { answeredNow, answerNow } from './answered-now.js';
export { maySign, roleFor, type SignatureRules, type SigningQuestion } from './may-sign.js';
export { openKeyFiles } from './open-keys.js';
export { type PdfAttachment, readPdfAttachments } from './pdf/attachments.js';
export { sameDocument } from './pdf/same-document.js';
export {
  certificateFingerprint,
  createShopIdentity,
  exportRootPem,
  loadShopIdentity,
  renewShopCertificate,
  resealRootKey,
  type ShopIdentity,
} from './pdf/shop-identity.js';
export { signPdf, withoutSignature } from './pdf/sign.js';
export { reserveSignature, type SignatureFieldOptions } from './pdf/signature-field.js';
export { type PdfSignatureReport, verifyPdfSignature } from './pdf/verify.js';
export { type PassphraseSource, readNewPassphrase, readPassphrase } from './people/passphrase.js';
export { passphraseWeakness } from './people/passphrase-rule.js';
export { keyFingerprint, listSigners } from './people/person-file.js';
export {
  changePassphrase,
  createSigner,
  makeSigner,
  type UnlockedSigner,
  UnlockRefused,
  unlockSigner,
} from './people/signer.js';
export { type ExpectedSignature, recordSignatureDomain, signatureFault, signedBytes } from './record-signature.js';
export { missingSignatures } from './required-signatures.js';
export { type RecordToSign, signRecord, verifyRecordSignature } from './sign-record.js';
export { readStatementSignature, signStatement, statementFault } from './sign-statement.js';
export type { SignerPublic } from './signer-form.js';
export { type StatementKind, statementBytes, statementSignatureFault } from './statement.js';
