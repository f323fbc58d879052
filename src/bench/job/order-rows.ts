import { existsSync } from 'node:fs';
import path from 'node:path';
import { separatorOf, splitRow } from '../../../drivers/log-file/index.js';
import { fileLimits, readGivenText } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { Shop } from '../shop.js';
import { type Answers, jobQuestions } from './questions.js';

/** Rows of a list of orders. */
export interface OrderRows {
  readonly file: string;
  readonly rows: readonly Answers[];
  /** Names in its header that are no key of a job. */
  readonly unknown: readonly string[];
}

/**
 * Reads a list of orders, CSV: a header row with the keys of a job (`work_order`, `serial`, `bore`, …; capitals and blanks
 * don't matter), then a row for each cylinder.
 * @throws DwellmarkError (`input`) with file and line.
 */
export function readOrders(file: string): OrderRows {
  const lines = readGivenText(file, { what: 'list of orders', most: fileLimits.text })
    .replace(/^\uFEFF/, '')
    .split(/\r?\n/)
    .map((text, index) => ({ text, line: index + 1 }))
    .filter(({ text }) => text.trim() !== '' && !text.startsWith('#'));
  const [head, ...body] = lines;
  if (!head) throw new DwellmarkError('input', 'the list of orders is empty', { place: { file } });
  const separator = separatorOf(head.text);
  const cells = ({ text, line }: { readonly text: string; readonly line: number }): readonly string[] => {
    const row = splitRow(text, separator);
    if ('cells' in row) return row.cells.map((cell) => cell.text);
    throw new DwellmarkError('input', 'a quote is not closed', { place: { file, line } });
  };
  const names = cells(head).map((name) => name.trim());
  const keys = names.map(keyOf);
  if (!keys.includes('work_order') && !keys.includes('serial'))
    throw new DwellmarkError('input', 'the list of orders has neither work_order nor serial in its header', {
      place: { file, line: head.line },
      advice: `Name its columns after the keys of a job: ${knownKeys.join(', ')}.`,
    });
  const rows = body.map((row): Answers => {
    const texts = cells(row);
    return Object.fromEntries(
      keys.flatMap((key, index) => {
        const text = texts[index]?.trim() ?? '';
        return key === undefined || text === '' ? [] : [[key, text]];
      }),
    );
  });
  return { file, rows, unknown: names.filter((_, index) => keys[index] === undefined) };
}

const knownKeys = [...new Set(jobQuestions.map(({ key }) => key))];

const keyOf = (name: string): string | undefined => {
  const plain = name.toLowerCase().replace(/[^a-z]+/g, '_');
  return knownKeys.find((key) => key === plain);
};

/** `orders.csv` beside the shop file, where there is one. */
export function ordersOfShop(shop: Shop): OrderRows | null {
  const file = path.join(shop.folder, 'orders.csv');
  return existsSync(file) ? readOrders(file) : null;
}

/** The rows of a work order or a serial. */
export function rowsOf({ rows }: OrderRows, scan: string): readonly Answers[] {
  const same = (text: string | undefined): boolean => text?.toLowerCase() === scan.trim().toLowerCase();
  return rows.filter((row) => same(row.work_order) || same(row.serial));
}
