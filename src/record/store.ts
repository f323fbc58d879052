import { randomUUID } from 'node:crypto';
import type Database from 'better-sqlite3';
import { DwellmarkError } from '../units/index.js';
import { canonicalJson, headerHead } from './chain/index.js';
import {
  copyFile,
  insertRow,
  isTestLocked,
  lockTest,
  type Made,
  type OpenFile,
  openFile,
  type TestLock,
} from './file/index.js';
import type { TestHeader } from './header.js';
import { type CommitEvery, commitEvery, summaryRow, TestWriter } from './holds/index.js';
import {
  type CertificateRecord,
  type Change,
  type Clocks,
  correctTest,
  issueCertificate,
  Ledger,
  type LedgerMark,
  voidTest,
} from './ledger/index.js';
import { RawRows } from './raw-rows.js';
import type { RecordSignature, SignedReason } from './signature.js';
import type { StoreOptions } from './stored-test.js';
import { TestStore } from './test-store.js';

/**
 * Opens a shop's store: one SQLite file, which several programs may write at once; a test is written by one of them. To
 * write, it makes the file where there is none.
 * @throws DwellmarkError when there is no store, the file is newer than the program, or no store at all.
 */
export function openStore(path: string, options: StoreOptions): Store {
  const clocks: Clocks = {
    now: options.now ?? (() => new Date()),
    monotonicMs: options.monotonicMs ?? (() => Number(process.hrtime.bigint() / 1_000_000n)),
    session: randomUUID(),
  };
  const tell = (db: Database.Database, { created, migratedFrom }: Made): void => {
    const ledger = new Ledger(db, clocks);
    if (created) ledger.act('store created', { format: 1 });
    if (migratedFrom !== null) ledger.act('store migrated', { from: migratedFrom });
  };
  return new Store(path, openFile(path, options.mode, tell), clocks, options.mode === 'write');
}

/** The record of a shop: tests with their traces, and the ledger of everything done. Close it when done. */
export class Store extends TestStore {
  readonly #file: OpenFile;
  readonly #mayWrite: boolean;
  /** Of the tests that this program writes. */
  readonly #locks = new Map<string, TestLock>();

  constructor(path: string, file: OpenFile, clocks: Clocks, mayWrite: boolean) {
    super(path, file.db, clocks, mayWrite);
    this.#file = file;
    this.#mayWrite = mayWrite;
  }

  close(): void {
    this.#file.close();
    for (const lock of this.#locks.values()) lock.release(false);
    this.#locks.clear();
  }

  /** Whether a test is being written now, by this program or another. */
  isRunning(test: string): boolean {
    return this.#locks.has(test) || isTestLocked(this.path, test);
  }

  /**
   * A whole copy, made while tests may run, here or in another process. The copy is a store of its own.
   * @throws DwellmarkError (`refused`, `input`) where it cannot be written, or there is something already.
   */
  async backup(path: string): Promise<void> {
    await copyFile(this.db, path, this.#mayWrite);
    if (this.#mayWrite) this.act('backup made', { ledger: this.ledgerHead() });
  }

  /** The next number of a year, `T-2026-0007`. */
  nextTestId(year: number = this.clocks.now().getFullYear()): string {
    const prefix = `T-${year}-`;
    const last = this.db
      .prepare<[number, string], number | null>(
        'SELECT MAX(CAST(substr(test, ?) AS INTEGER)) FROM test WHERE test GLOB ?',
      )
      .pluck()
      .get(prefix.length + 1, `${prefix}[0-9]*`);
    return `${prefix}${String((last ?? 0) + 1).padStart(4, '0')}`;
  }

  /**
   * Starts a test: its header is on disk when this returns. A live test is committed at least once a second; a log or
   * a simulation, which can be read again, in larger chunks.
   */
  beginTest(header: TestHeader, every?: CommitEvery): TestWriter {
    return this.beginNextTest(() => header, every);
  }

  /** The same under the next free number: two programs that start at the same moment get two numbers. */
  beginNextTest(headerOf: (test: string) => TestHeader, every?: CommitEvery): TestWriter {
    let locked: string | undefined;
    try {
      const { testId, header, head } = this.write(() => {
        const made = headerOf(this.nextTestId());
        if (this.has(made.test)) throw new DwellmarkError('refused', `there is a test ${made.test} already`);
        this.#lock(made.test);
        locked = made.test;
        return { header: made, ...this.#putHeader(made) };
      });
      return this.#writer(testId, header, head, every);
    } catch (cause) {
      if (locked !== undefined) this.#unlock(locked, true);
      throw cause;
    }
  }

  #putHeader(header: TestHeader): { testId: number; head: Buffer } {
    const text = canonicalJson(header);
    const head = headerHead(Buffer.from(text, 'utf8'));
    const row = { ...summaryRow(header), head };
    const testId = insertRow(this.db, `test (${Object.keys(row).join(', ')})`, Object.values(row));
    insertRow(this.db, 'header (test, header)', [testId, text]);
    this.lines.act('test started', { header: head.toString('hex'), origin: header.origin }, { test: header.test });
    return { testId, head };
  }

  /** Takes up a test that was never sealed, where its last commit ended. */
  resumeTest(test: string, every?: CommitEvery): TestWriter {
    this.demandId(test);
    this.#lock(test);
    const stored = this.test(test);
    if (stored.seal) {
      this.#unlock(test, true);
      throw new DwellmarkError('refused', `test ${test} is sealed`);
    }
    this.act('test resumed', {}, { test });
    return this.#writer(this.demandId(test), stored.header, Buffer.from(stored.headerHead, 'hex'), every);
  }

  /** Strikes a test out. Nothing is removed; its certificates have to be voided each by itself. */
  voidTest(test: string, why: SignedReason): LedgerMark {
    this.demandId(test);
    return this.write(() => voidTest(this.lines, test, why));
  }

  /** Amends words about a test's order; the header stays. @throws DwellmarkError (`refused`) where it does not fit. */
  correctTest(test: string, changes: readonly Change[], why: Required<SignedReason>): LedgerMark {
    return this.write(() => correctTest(this.lines, this.test(test).header, changes, why));
  }

  /** Keeps a signature. Whether it is a good one is the business of whoever made it, and of verify. */
  addSignature(signature: RecordSignature): LedgerMark {
    return this.write(() => {
      const { head } = this.test(signature.test);
      if (head === null)
        throw new DwellmarkError('refused', `test ${signature.test} is not sealed: there is nothing to sign`);
      if (head !== signature.head)
        throw new DwellmarkError('refused', `the signature is on another record than test ${signature.test} has`);
      return this.lines.act('signed', { ...signature }, { test: signature.test, subject: signature.signer.id });
    });
  }

  /** @throws DwellmarkError (`refused`) without a sealed trace, on a voided test, or for a number already used. */
  issueCertificate(certificate: CertificateRecord): LedgerMark {
    return this.write(() => {
      const { seal, head, voided } = this.test(certificate.test);
      if (!seal || seal.readings === 0)
        throw new DwellmarkError('refused', `test ${certificate.test} has no sealed trace: no trace, no certificate`);
      if (voided) throw new DwellmarkError('refused', `test ${certificate.test} was voided: ${voided.reason}`);
      if (head !== certificate.head)
        throw new DwellmarkError(
          'refused',
          `the certificate stands on another record than test ${certificate.test} has`,
        );
      return issueCertificate(this.lines, certificate);
    });
  }

  /** Work that reads one state of the store throughout, whatever another process writes meanwhile. It must not wait. */
  atOneMoment<T>(work: () => T): T {
    return this.db.transaction(work)();
  }

  /** The rows as they lie in the file: for an audit. */
  get raw(): RawRows {
    return new RawRows(this.db, this.lines);
  }

  #lock(test: string): void {
    if (this.#locks.has(test)) throw new DwellmarkError('refused', `test ${test} is being written already`);
    this.#locks.set(test, lockTest(this.path, test));
  }

  #unlock(test: string, sealed: boolean): void {
    this.#locks.get(test)?.release(sealed);
    this.#locks.delete(test);
  }

  #writer(testId: number, header: TestHeader, head: Buffer, every?: CommitEvery): TestWriter {
    return new TestWriter({
      db: this.db,
      path: this.path,
      ledger: this.lines,
      clocks: this.clocks,
      testId,
      header,
      headerHead: head,
      sealed: () => this.#unlock(header.test, true),
      commitEvery: every ?? (header.origin === 'live' ? commitEvery.live : commitEvery.repeatable),
    });
  }
}
