import { existsSync } from 'node:fs';
import { DwellmarkError } from '../units/index.js';
import { insertRow, type OpenFile, openFile, storageError } from './file/index.js';
import type { TestHeader } from './header.js';
import { insertBlock, type StoredBlock, summaryRow } from './holds/index.js';
import type { LedgerLine } from './ledger/index.js';

/** A sealed or unsealed test as another store or an archive hands it over: nothing is computed anew. */
export interface CopiedTest {
  readonly header: string;
  readonly head: Uint8Array;
  readonly blocks: Iterable<StoredBlock>;
  readonly seal: { readonly text: string; readonly head: Uint8Array; readonly words: string } | null;
}

/**
 * A store filled with what was kept elsewhere: the same ledger lines, headers, links and seals, byte for byte, and no
 * line of its own. Whether they fit together is the business of verify.
 */
export class StoreCopy {
  readonly #file: OpenFile;
  readonly #path: string;

  /** @throws DwellmarkError (`refused`) when there is a file already: a copy never mixes with a store. */
  constructor(path: string) {
    if (existsSync(path))
      throw new DwellmarkError('refused', 'there is a file here already', {
        place: { file: path },
        advice: 'Name a new file: a copy is never written over a store.',
      });
    this.#file = openFile(path, 'write');
    this.#path = path;
  }

  /** Many things in one transaction. */
  together(work: () => void): void {
    try {
      this.#file.db.transaction(work)();
    } catch (cause) {
      throw storageError(cause, this.#path);
    }
  }

  addLine(position: number, line: string, head: Uint8Array): void {
    const { kind, test, subject } = JSON.parse(line) as LedgerLine;
    this.#insert('ledger (position, kind, test, subject, line, head)', [position, kind, test, subject, line, head]);
  }

  addTest({ header, head, blocks, seal }: CopiedTest): void {
    const told = JSON.parse(header) as TestHeader;
    const row = { ...summaryRow(told), head };
    const id = this.#insert(`test (${Object.keys(row).join(', ')})`, Object.values(row));
    this.#insert('header (test, header)', [id, header]);
    for (const block of blocks) insertBlock(this.#file.db, id, block);
    if (!seal) return;
    const { result, readings } = JSON.parse(seal.text) as { result: { verdict: string }; readings: number };
    this.#insert('seal (test, verdict, readings, head, seal)', [id, result.verdict, readings, seal.head, seal.text]);
    this.#insert('search (rowid, test, text)', [id, told.test, seal.words]);
  }

  addKeptFile(sha256: string, media: string, bytes: Uint8Array): void {
    this.#insert('attachment (sha256, media, bytes)', [sha256, media, bytes]);
  }

  close(): void {
    this.#file.close();
  }

  #insert(into: string, values: readonly unknown[]): number {
    return insertRow(this.#file.db, into, values);
  }
}
