import type { chartPicture as picture } from './chart/chart-picture.js';
import type { renderComparison as comparison } from './comparison.js';
import type { renderLabel as label } from './label.js';
import type { renderCertificate as certificate } from './render.js';

/*
 * Setting a paper takes a PDF writer, fonts and a chart library, a picture the means to draw pixels, which load in a quarter of a second: not before a paper
 * is asked for. Commands that only read a record go without.
 */

/** See `render.ts`. */
export const renderCertificate: typeof certificate = async (...given) =>
  (await import('./render.js')).renderCertificate(...given);

/** See `comparison.ts`. */
export const renderComparison: typeof comparison = async (...given) =>
  (await import('./comparison.js')).renderComparison(...given);

/** See `label.ts`. */
export const renderLabel: typeof label = async (...given) => (await import('./label.js')).renderLabel(...given);

/** See `chart/chart-picture.ts`. */
export const chartPicture = async (...given: Parameters<typeof picture>): Promise<Buffer> =>
  (await import('./chart/chart-picture.js')).chartPicture(...given);
