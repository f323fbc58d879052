export { answeredNow, answerNow } from './answered-now.js';
export { maySign, missingSignatures, roleFor, type SignatureRules } from './may-sign.js';
export { openKeyFiles } from './open-keys.js';
export { readPdfAttachments } from './pdf/attachments.js';
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
export { reserveSignature } from './pdf/signature-field.js';
export { type PdfSignatureReport, verifyPdfSignature } from './pdf/verify.js';
export { passphraseWeakness, readNewPassphrase, readPassphrase } from './people/passphrase.js';
export { keyFingerprint, listSigners } from './people/person-file.js';
export { changePassphrase, makeSigner, type UnlockedSigner, UnlockRefused, unlockSigner } from './people/signer.js';
export { signatureFault } from './record-signature.js';
export { signRecord } from './sign-record.js';
export { readStatementSignature, signStatement, statementFault } from './sign-statement.js';
export { type StatementKind, statementSignatureFault } from './statement.js';
