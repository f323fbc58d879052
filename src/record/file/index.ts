export { copyFile } from './copy-file.js';
export { type OpenFile, openFile } from './open-file.js';
export { damage, foreignSchema, strays } from './raw.js';
export { storageError } from './storage-error.js';
