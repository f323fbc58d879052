export { alteredColumns } from './altered-columns.js';
export { benches, benchNamed } from './bench-entry.js';
export { type Archive, openArchive } from './connect.js';
export { copyBack } from './copy-back.js';
export { type ArchiveFilter, listArchive } from './list.js';
export { prepareArchive } from './prepare.js';
export { push } from './push.js';
export { archiveStatus } from './status.js';
