export { type Capture, looksLikeText, readCapture } from './capture.js';
export { fewestLines, type KnownBefore, type LineProposal, proposeLineShape } from './line-shape.js';
