import { rmSync } from 'node:fs';
import path from 'node:path';
import { type Archive, benches, benchNamed, copyBack, openArchive } from '../../archive/index.js';
import { findShopIfAny } from '../../bench/index.js';
import { openStore, type Store } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { remark } from '../output.js';
import { passingFolder } from '../passing-folder.js';

/** Options of a command that can look in the archive: `true` when the option stands alone. */
export interface ArchiveOptions extends CommonOptions {
  readonly archive?: string | true;
}

/** Opens the archive that a command names, else the environment, else the shop file; closes it after the work. */
export async function withArchive<T>(options: ArchiveOptions, work: (archive: Archive) => Promise<T>): Promise<T> {
  const archive = await openArchive(archiveUrl(options));
  try {
    return await work(archive);
  } finally {
    await archive.close();
  }
}

/** @throws DwellmarkError (`usage`) when nothing says where the archive is. */
export function archiveUrl({ archive, shop }: ArchiveOptions): string {
  if (typeof archive === 'string') return withoutPassword(archive);
  const url = process.env.DWELLMARK_ARCHIVE ?? findShopIfAny(shop)?.archive;
  if (url) return url;
  throw new DwellmarkError('usage', 'nothing says where the archive is', {
    place: { key: '--archive' },
    advice: 'Give --archive postgres://login@host/database, or set archive = "..." in the shop file.',
  });
}

/** What stands in a command is seen by everybody on the computer. @throws DwellmarkError (`usage`) for a password. */
function withoutPassword(url: string): string {
  if (!URL.canParse(url) || new URL(url).password === '') return url;
  throw new DwellmarkError('usage', 'the password in the address can be seen in the list of processes', {
    place: { key: '--archive' },
    advice:
      'Leave it out: give it in PGPASSWORD or a PGPASSFILE, or put the address in DWELLMARK_ARCHIVE or the shop file.',
  });
}

/** A test of an archive as a person names it: `Bench 2/T-2026-0007`. */
export interface ArchivedTest {
  readonly bench: string;
  readonly test: string;
}

/** @throws DwellmarkError (`usage`) when it names no bench. */
export function archivedTest(text: string): ArchivedTest {
  const [, bench, test] = /^(.+)\/([^/]+)$/.exec(text.trim()) ?? [];
  if (bench && test) return { bench, test };
  throw new DwellmarkError('usage', `"${text}" names no test of the archive`, {
    advice: 'Write bench and number: "Bench 2/T-2026-0007"; `dwellmark list --archive` shows them.',
  });
}

/**
 * Works on what the archive holds of a bench as on a store: copied into a file that goes away afterwards. The whole
 * record, or only what is about some tests.
 */
export async function withCopy<T>(
  archive: Archive,
  bench: string,
  wanted: { readonly tests?: readonly string[]; readonly ledger: 'whole' | 'about them' },
  work: (store: Store) => T | Promise<T>,
): Promise<T> {
  const folder = passingFolder();
  try {
    const file = path.join(folder, 'record.db');
    const entry = await benchNamed(archive, bench);
    const every = 500;
    const progress = (tests: number) => tests % every === 0 && remark(`${bench}: ${tests} tests read`);
    await copyBack(archive, entry, file, { ...wanted, progress });
    const store = openStore(file, { mode: 'read' });
    try {
      return await work(store);
    } finally {
      store.close();
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Every bench in turn. */
export async function* eachBench(archive: Archive): AsyncIterable<string> {
  for (const { name } of await benches(archive)) yield name;
}
