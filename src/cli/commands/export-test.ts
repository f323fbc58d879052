import { createWriteStream } from 'node:fs';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { exportCsv, exportJson } from '../../audit/index.js';
import { findShop } from '../../bench/index.js';
import { openStore } from '../../record/index.js';
import type { CommonOptions } from '../common-options.js';
import { remark } from '../output.js';

export interface ExportOptions extends CommonOptions {
  readonly format: 'csv' | 'json';
  readonly output?: string;
}

/** `dwellmark export`: a record in a form that other programs read. */
export async function run(test: string, options: ExportOptions): Promise<void> {
  const store = openStore(findShop(options.shop).database, { mode: 'read' });
  try {
    const pieces = options.format === 'csv' ? exportCsv(store, test) : exportJson(store, test);
    if (options.output === undefined) {
      for (const piece of pieces)
        if (!process.stdout.write(piece)) await new Promise((drained) => process.stdout.once('drain', drained));
      return;
    }
    await pipeline(Readable.from(pieces), createWriteStream(options.output));
    remark(`${options.output} written.`);
  } finally {
    store.close();
  }
}
