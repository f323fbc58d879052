export { type Capture, readCapture } from './capture.js';
export { type LineProposal, proposeLineShape } from './line-shape.js';
