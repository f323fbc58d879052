export { copyFile } from './copy-file.js';
export { demandRows, insertingRow, insertRow } from './insert-row.js';
export { type OpenFile, openFile } from './open-file.js';
export { damage, foreignSchema, strays } from './raw.js';
export { storageError } from './storage-error.js';
