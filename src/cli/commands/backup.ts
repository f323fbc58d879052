import { statSync } from 'node:fs';
import path from 'node:path';
import { findShop } from '../../bench/index.js';
import { type LedgerMark, openStore } from '../../record/index.js';
import type { CommonOptions } from '../common-options.js';
import { commandName, say, sayJson } from '../output.js';

interface Copied {
  readonly file: string;
  readonly bytes: number;
  readonly tests: number;
  readonly unsealed: number;
  readonly ledger: LedgerMark;
}

/** `dwellmark backup`: a copy of the record, read as one state of it, beside whoever is writing. */
export async function run(target: string, options: CommonOptions): Promise<void> {
  const { database } = findShop(options.shop);
  const file = isFolder(target) ? path.join(target, datedName(database, new Date())) : path.resolve(target);
  const store = openStore(database, { mode: 'read' });
  try {
    await store.backup(file);
  } finally {
    store.close();
  }
  const copied = look(file);
  if (options.json) return sayJson(copied);
  const running = copied.unsealed > 0 ? `, ${copied.unsealed} of them not sealed` : '';
  say(`${copied.file}: ${copied.tests} tests${running}, ${(copied.bytes / 1e6).toFixed(1)} MB`);
  say(`The ledger in it ends at ${copied.ledger.position}:${copied.ledger.head}`);
  say(
    `Keep it on another disk. ${commandName} verify --anchor with that mark shows later that the record still holds it.`,
  );
}

/** What the copy holds, read from the copy itself. */
function look(file: string): Copied {
  const copy = openStore(file, { mode: 'read' });
  try {
    const counts = { tests: copy.raw.testNames().length, unsealed: copy.unfinished().length };
    return { file, bytes: statSync(file).size, ...counts, ledger: copy.ledgerHead() };
  } finally {
    copy.close();
  }
}

const isFolder = (target: string): boolean => statSync(target, { throwIfNoEntry: false })?.isDirectory() ?? false;

/** `record-2026-03-14-0926.db`. */
function datedName(database: string, now: Date): string {
  const { name, ext } = path.parse(database);
  const two = (value: number): string => String(value).padStart(2, '0');
  const day = [now.getFullYear(), two(now.getMonth() + 1), two(now.getDate())].join('-');
  return `${name}-${day}-${two(now.getHours())}${two(now.getMinutes())}${ext}`;
}
