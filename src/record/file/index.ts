export { copyFile } from './copy-file.js';
export { fileLimits, readGivenFile, readGivenText } from './given-file.js';
export { demandRows, insertingRow, insertRow } from './insert-row.js';
export { type Made, type OpenFile, openFile } from './open-file.js';
export { damage, foreignSchema, strays } from './raw.js';
export { isBusy, storageError } from './storage-error.js';
export { isTestLocked, lockTest, type TestLock } from './test-lock.js';
