import { exportCsv, exportJson, exportParquet, exportXlsx } from '../../audit/index.js';
import type { Shop } from '../../bench/index.js';
import { bundleLines, type Store } from '../../record/index.js';

/** How a record is handed on: the end of the file's name, and its pieces one after another. */
export interface ExportFormat {
  readonly extension: string;
  /** Bytes that are no text: never written to a terminal. */
  readonly binary: boolean;
  readonly pieces: (store: Store, test: string, shop: Shop) => Iterable<string> | AsyncIterable<Uint8Array>;
}

export const exportFormats = {
  csv: { extension: 'csv', binary: false, pieces: (store, test) => exportCsv(store, test) },
  json: { extension: 'json', binary: false, pieces: exportJson },
  parquet: { extension: 'parquet', binary: true, pieces: (store, test) => exportParquet(store, test) },
  xlsx: { extension: 'xlsx', binary: true, pieces: workbook },
  html: { extension: 'html', binary: false, pieces: page },
  png: { extension: 'png', binary: true, pieces: picture },
  bundle: { extension: 'bundle.jsonl', binary: false, pieces: (store, test) => bundleLines(store, test) },
} as const satisfies Readonly<Record<string, ExportFormat>>;

/** Loaded only when it is asked for. */
async function* page(store: Store, test: string, shop: Shop): AsyncIterable<Uint8Array> {
  const { testPage } = await import('../../quality/index.js');
  yield* testPage(store, test, shop);
}

async function* picture(store: Store, test: string, shop: Shop): AsyncIterable<Uint8Array> {
  const { testPicture } = await import('../../quality/index.js');
  yield* testPicture(store, test, shop);
}

async function* workbook(store: Store, test: string): AsyncIterable<Uint8Array> {
  const { systemOf } = await import('../../quality/index.js');
  yield await exportXlsx(store, test, systemOf(store.test(test).header));
}

export type ExportFormatName = keyof typeof exportFormats;
