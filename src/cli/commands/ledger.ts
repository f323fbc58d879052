import { csvRow, entryText, hasAuthority, type LedgerEntry, ledgerEntry } from '../../audit/index.js';
import { findShop } from '../../bench/index.js';
import { type LedgerLine, openStore } from '../../record/index.js';
import type { CommonOptions } from '../common-options.js';
import { remark, say, sayJson } from '../output.js';

export interface LedgerOptions extends CommonOptions {
  readonly kind?: string;
  readonly person?: string;
  readonly about?: string;
  readonly since?: string;
  readonly until?: string;
  readonly csv?: boolean;
}

/** `dwellmark ledger`: who did what, when, with which key. */
export function run(options: LedgerOptions): void {
  const store = openStore(findShop(options.shop).database, { mode: 'read' });
  try {
    const signers = store.signers();
    const entries: LedgerEntry[] = [];
    for (const line of store.ledger()) if (isWanted(line, options)) entries.push(ledgerEntry(line, signers));
    const found = entries.filter(({ who }) => options.person === undefined || isLike(who, options.person));
    if (options.json) return sayJson(found);
    if (options.csv) return tellCsv(found);
    for (const entry of found) say(entryText(entry));
    if (!hasAuthority(signers)) remark('This record names no administrator: who was entitled is not proven by a key.');
  } finally {
    store.close();
  }
}

const isLike = (text: string | null, part: string): boolean =>
  (text ?? '').toLowerCase().includes(part.trim().toLowerCase());

function isWanted(
  { kind, at, test, subject }: LedgerLine,
  { kind: only, about, since, until }: LedgerOptions,
): boolean {
  const day = at.slice(0, Math.max(10, until?.length ?? 0));
  return (
    (only === undefined || isLike(kind, only)) &&
    (about === undefined || test === about || subject === about) &&
    (since === undefined || at >= since) &&
    (until === undefined || day <= until)
  );
}

function tellCsv(entries: readonly LedgerEntry[]): void {
  const keys = ['position', 'at', 'act', 'test', 'about', 'who', 'key', 'why'] as const;
  process.stdout.write([[...keys], ...entries.map((entry) => keys.map((key) => entry[key]))].map(csvRow).join(''));
}
