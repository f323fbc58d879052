export { certificateContent } from './content/certificate-content.js';
export type { CertificateContent } from './content/content.js';
export type { CertificateInput, CertificateKind, Language } from './input.js';
export { renderLabel } from './label.js';
export { type CertificateLayout, parseLayout } from './pages/layout.js';
export { type RenderOptions, renderCertificate } from './render.js';
export { parseWords, type Words } from './words/words.js';
