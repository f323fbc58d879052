export { benchChecks } from './bench-checks.js';
export { type CommitEvery, commitEvery } from './commit-every.js';
export type { RawLine } from './line-encoding.js';
export {
  insertBlock,
  quickLooks,
  type StoredBlock,
  type StoredLink,
  storedBlocks,
  storedLinks,
} from './link-store.js';
export { searchText, wordsOf } from './search-index.js';
export { summaryRow } from './summary-row.js';
export { listTests, type TestFilter, type TestLine } from './test-list.js';
export { TestWriter } from './test-writer.js';
export {
  type ClockMark,
  clockMarksOf,
  inputsOf,
  oneByOne,
  parsedInput,
  rawLinesOf,
  readingsOf,
} from './trace-reader.js';
