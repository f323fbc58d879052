export { reserveSignature, type SignatureFieldOptions } from './pdf-placeholder.js';
