export { type FitPoint, fitLine } from './chart/fit-line.js';
export { firstAtOrAfter, thinnedAt } from './chart/thin-out.js';
export type { Hold, PortSpan, TraceColumns, TraceMark, TraceStory } from './chart/trace-story.js';
export { gatherTrace } from './chart/trace-story.js';
export type { ComparisonContent } from './comparison.js';
export { certificateContent } from './content/certificate-content.js';
export type {
  CertificateContent,
  Fact,
  FactGroup,
  ResultCell,
  ResultTable,
} from './content/content.js';
export { identityGroups, type OilRange } from './content/identity.js';
export { type CertificateDemand, type NotLookedAt, notLookedAt } from './content/not-looked-at.js';
export { ownWords } from './content/own-words.js';
export { portNotes } from './content/port-notes.js';
export { reasonText } from './content/reason-text.js';
export { remarkLines } from './content/remarks.js';
export { resultNotes } from './content/result-notes.js';
export { resultTable } from './content/result-table.js';
export { everyAttempt, tellStory } from './content/tell-story.js';
export { type CertificateInput, type CertificateKind, type Language, languages } from './input.js';
export { type CertificateLayout, parseLayout } from './pages/layout.js';
export { type PaperFile, paperFileName, paperText, readPaperFile } from './paper/paper-file.js';
export { type PaperRecordInput, type SetPaper, setPaper } from './paper/set-paper.js';
export { isShippedProcedure, setWith } from './paper/set-with.js';
export type { RenderOptions } from './render.js';
export { chartPicture, renderCertificate, renderComparison, renderLabel } from './render-when-asked.js';
export { type Figures, figuresOf } from './words/figures.js';
export { changedKeys, noChanges, type ShippedTexts, type WordChanges, type Words, wordsFrom } from './words/said.js';
export { parseWords, shippedTexts, shippedWords } from './words/words.js';
