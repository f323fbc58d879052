import type Database from 'better-sqlite3';
import { damage, foreignSchema, strays } from './file/index.js';
import { type StoredBlock, storedBlocks } from './holds/index.js';
import type { Ledger, LedgerMark, LedgerRow } from './ledger/index.js';

/** A test's rows as they lie in the file, unread: what an audit holds against each other. */
export interface RawTest {
  readonly id: number;
  /** Head of the header as the row has it, hex. */
  readonly head: string;
  /** The columns the test is found by. */
  readonly columns: Readonly<Record<string, unknown>>;
  readonly header: string | null;
  readonly seal: {
    readonly text: string;
    readonly head: string;
    readonly verdict: string;
    readonly readings: number;
  } | null;
  /** Links not yet packed into blocks. */
  readonly freshLinks: number;
  /** Rows of the full-text index for it. */
  readonly searchTexts: readonly string[];
}

/** What an audit may see beneath the store's face. */
export class RawRows {
  readonly #db: Database.Database;
  readonly #ledger: Ledger;

  constructor(db: Database.Database, ledger: Ledger) {
    this.#db = db;
    this.#ledger = ledger;
  }

  /** Names of all tests in the order they were started. */
  testNames(): string[] {
    return this.#db.prepare<[], string>('SELECT test FROM test ORDER BY id').pluck().all();
  }

  test(test: string): RawTest | undefined {
    const row = this.#db
      .prepare<[string], { id: number; head: Buffer } & Record<string, unknown>>('SELECT * FROM test WHERE test = ?')
      .get(test);
    if (!row) return undefined;
    const { id, head, ...columns } = row;
    const header = this.#db.prepare<[number], string>('SELECT header FROM header WHERE test = ?').pluck().get(id);
    const seal = this.#db
      .prepare<[number], { seal: string; head: Buffer; verdict: string; readings: number }>(
        'SELECT seal, head, verdict, readings FROM seal WHERE test = ?',
      )
      .get(id);
    return {
      id,
      head: head.toString('hex'),
      columns,
      header: header ?? null,
      seal: seal
        ? { text: seal.seal, head: seal.head.toString('hex'), verdict: seal.verdict, readings: seal.readings }
        : null,
      freshLinks: this.#db.prepare<[number], number>('SELECT count(*) FROM fresh WHERE test = ?').pluck().get(id) ?? 0,
      searchTexts: this.#db.prepare<[number], string>('SELECT text FROM search WHERE rowid = ?').pluck().all(id),
    };
  }

  blocks(testId: number): Iterable<StoredBlock> {
    return storedBlocks(this.#db, testId);
  }

  ledger(): Iterable<LedgerRow> {
    return this.#ledger.rows();
  }

  /** See `Ledger.rowsAbout`. */
  ledgerAbout(test: string, signers: readonly string[], upTo: number): ReturnType<Ledger['rowsAbout']> {
    return this.#ledger.rowsAbout(test, signers, upTo);
  }

  ledgerHeadAt(upTo: number): LedgerMark {
    return this.#ledger.headAt(upTo);
  }

  *attachments(): Iterable<{ readonly sha256: string; readonly bytes: Buffer }> {
    const names = this.#db.prepare<[], string>('SELECT sha256 FROM attachment').pluck().all();
    const one = this.#db.prepare<[string], Buffer>('SELECT bytes FROM attachment WHERE sha256 = ?').pluck();
    for (const sha256 of names) {
      const bytes = one.get(sha256);
      if (bytes) yield { sha256, bytes };
    }
  }

  /** Tables, indexes and guards that are not as this program makes them. */
  foreignSchema(): string[] {
    return foreignSchema(this.#db);
  }

  /** What SQLite finds wrong with the file; tables, indexes and guards that are not ours; rows that hang on no test. */
  faults(): string[] {
    return [
      ...damage(this.#db),
      ...this.foreignSchema().map((name) => `${name} is not as this program makes it`),
      ...strays(this.#db),
    ];
  }
}
