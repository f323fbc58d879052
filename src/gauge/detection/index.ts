export { type LineProposal, proposeLineShape } from './line-shape.js';
