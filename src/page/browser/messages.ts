import type { BundleReport } from '../../audit/index.js';
import type { Rows } from '../chart/chart-data.js';
import type { PageSetting } from '../facts/page-facts.js';

/** What the page asks of its worker. */
export type Order =
  /** First of all: the record as it stands in the page, compressed and in base64. */
  | { readonly order: 'open'; readonly record: string; readonly unitName: string }
  /** Readings between two times (seconds since the first), thinned to so many columns. */
  | { readonly order: 'view'; readonly fromS: number; readonly toS: number; readonly columns: number }
  | { readonly order: 'check'; readonly setting: PageSetting; readonly program: string };

/** What the worker has to say. */
export type News =
  | { readonly news: 'opened'; readonly readings: number }
  | { readonly news: 'view'; readonly fromS: number; readonly toS: number; readonly rows: Rows }
  | { readonly news: 'progress'; readonly done: number; readonly all: number }
  /** What the check came to, and the page as it should be; or why it could not be made. */
  | {
      readonly news: 'checked';
      readonly report: BundleReport;
      /** The record's verdict in the program's own word. */
      readonly verdict: string;
      readonly page: string | null;
      readonly head: string;
    }
  | { readonly news: 'failed'; readonly of: Order['order']; readonly why: string };
