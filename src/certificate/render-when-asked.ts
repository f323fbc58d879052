import type { renderLabel as label } from './label.js';
import type { renderCertificate as certificate } from './render.js';

/*
 * Setting a paper takes a PDF writer, fonts and a chart library, which load in a quarter of a second: not before a paper
 * is asked for. Commands that only read a record go without.
 */

/** See `render.ts`. */
export const renderCertificate: typeof certificate = async (...given) =>
  (await import('./render.js')).renderCertificate(...given);

/** See `label.ts`. */
export const renderLabel: typeof label = async (...given) => (await import('./label.js')).renderLabel(...given);
