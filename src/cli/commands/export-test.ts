import { createWriteStream, existsSync, mkdirSync, renameSync, rmSync, statSync } from 'node:fs';
import path from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { judgeStored, testChecker } from '../../audit/index.js';
import { findShop, type Shop } from '../../bench/index.js';
import { openStore, type Store } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { remark, sayJson } from '../output.js';
import { type ExportFormatName, exportFormats } from '../report/export-formats.js';

export interface ExportOptions extends CommonOptions {
  readonly format: string;
  readonly output?: string;
}

/** `dwellmark export`: records in forms that other programs read. */
export async function run(tests: readonly string[], options: ExportOptions): Promise<void> {
  const formats = formatsOf(options.format);
  const [test, format] = [tests[0] ?? '', formats[0] ?? 'csv'];
  const several = tests.length > 1 || formats.length > 1;
  const shop = findShop(options.shop);
  const store = openStore(shop.database, { mode: 'read' });
  try {
    const check = testChecker(store, judgeStored);
    for (const name of tests) check(name);
    if (several) return await exportInto(store, shop, tests, formats, options);
    if (options.output === undefined || options.output === '-')
      return await toStdout(store, shop, test, format, options.json);
    const file = isFolder(options.output) ? fileIn(options.output, test, format) : options.output;
    await toFile(store, shop, test, format, file);
    if (options.json) sayJson([{ test, format, file }]);
  } finally {
    store.close();
  }
}

function formatsOf(text: string): ExportFormatName[] {
  const names = [...new Set(text.split(',').map((name) => name.trim()))];
  const known = Object.keys(exportFormats);
  const unknown = names.find((name) => !known.includes(name));
  if (unknown === undefined) return names as ExportFormatName[];
  throw new DwellmarkError('usage', `there is no format "${unknown}"`, {
    place: { key: '--format' },
    advice: `Choose from ${known.join(', ')}; several with commas between.`,
  });
}

async function exportInto(
  store: Store,
  shop: Shop,
  tests: readonly string[],
  formats: readonly ExportFormatName[],
  options: ExportOptions,
): Promise<void> {
  const folder = options.output;
  if (folder === undefined)
    throw new DwellmarkError('usage', 'several files need a folder', { advice: 'Name it with -o DIR.' });
  if (existsSync(folder) && !isFolder(folder))
    throw new DwellmarkError('usage', 'several files need a folder, and this is a file', { place: { file: folder } });
  mkdirSync(folder, { recursive: true });
  const written: { test: string; format: string; file: string }[] = [];
  for (const test of tests)
    for (const format of formats) {
      const file = fileIn(folder, test, format);
      await toFile(store, shop, test, format, file);
      written.push({ test, format, file });
    }
  if (options.json) sayJson(written);
}

const isFolder = (place: string): boolean => existsSync(place) && statSync(place).isDirectory();

const fileIn = (folder: string, test: string, format: ExportFormatName): string =>
  path.join(folder, `${test}.${exportFormats[format].extension}`);

/** Under a passing name until it is whole, so that nobody takes half a file for all of it. */
async function toFile(store: Store, shop: Shop, test: string, format: ExportFormatName, file: string): Promise<void> {
  const passing = `${file}.${process.pid}.part`;
  try {
    await pipeline(Readable.from(exportFormats[format].pieces(store, test, shop)), createWriteStream(passing));
    renameSync(passing, file);
  } catch (cause) {
    rmSync(passing, { force: true });
    if (cause instanceof DwellmarkError) throw cause;
    throw new DwellmarkError('input', `the file can't be written: ${(cause as NodeJS.ErrnoException).code ?? cause}`, {
      place: { file },
      advice: 'Name another place with -o.',
      cause,
    });
  }
  remark(`${file} written.`);
}

async function toStdout(
  store: Store,
  shop: Shop,
  test: string,
  format: ExportFormatName,
  json: boolean | undefined,
): Promise<void> {
  if (json && format !== 'json')
    throw new DwellmarkError('usage', `--json and --format ${format} can't both go to stdout`, {
      advice: 'Name a file with -o, or take --format json.',
    });
  if (exportFormats[format].binary && process.stdout.isTTY)
    throw new DwellmarkError('usage', `${format} is nothing for a terminal`, { advice: 'Name a file with -o.' });
  for await (const piece of exportFormats[format].pieces(store, test, shop))
    if (!process.stdout.write(piece)) await new Promise((drained) => process.stdout.once('drain', drained));
}
