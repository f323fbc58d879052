export type { TestHeader } from './header.js';
export type { RecordSignature, Role, SignatureMeaning } from './signature.js';
