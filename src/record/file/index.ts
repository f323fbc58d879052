export { type OpenFile, openFile } from './open-file.js';
export { applicationId, migrations } from './schema.js';
export { storageError } from './storage-error.js';
