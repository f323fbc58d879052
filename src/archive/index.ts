export { type BenchEntry, benches, benchNamed } from './bench-entry.js';
export { type Archive, openArchive } from './connect.js';
export { copyBack, type Wanted } from './copy-back.js';
export { type ArchiveFilter, type ArchiveLine, listArchive } from './list.js';
export { prepareArchive } from './prepare.js';
export { type Pushed, type PushOptions, push } from './push.js';
export { archiveStatus, type BenchStatus } from './status.js';
