import { randomUUID } from 'node:crypto';
import type { Reading } from '../gauge/index.js';
import type { HoldInputs } from '../holdtest/index.js';
import { DwellmarkError } from '../units/index.js';
import { canonicalJson, headerHead, type QuickLook } from './chain/index.js';
import { copyFile, type OpenFile, openFile } from './file/index.js';
import type { TestHeader } from './header.js';
import {
  type ClockMark,
  type CommitEvery,
  clockMarksOf,
  commitEvery,
  inputsOf,
  listTests,
  quickLooks,
  type RawLine,
  rawLinesOf,
  readingsOf,
  type StoredLink,
  storedLinks,
  summaryRow,
  type TestFilter,
  type TestLine,
  TestWriter,
} from './holds/index.js';
import {
  type CertificateRecord,
  type Clocks,
  certificates,
  issueCertificate,
  type LedgerMark,
  signaturesOn,
  testVoid,
  voidTest,
} from './ledger/index.js';
import { LedgerStore } from './ledger-store.js';
import { RawRows } from './raw-rows.js';
import type { TestSeal } from './seal.js';
import type { RecordSignature } from './signature.js';
import type { StoredTest, StoreOptions } from './stored-test.js';

/**
 * Opens a shop's store: one SQLite file. To write, it takes the one writer's place and makes the file where there is
 * none; to read, it works beside a running writer.
 * @throws DwellmarkError when there is no store, another writes, the file is newer than the program, or no store at all.
 */
export function openStore(path: string, options: StoreOptions): Store {
  const clocks: Clocks = {
    now: options.now ?? (() => new Date()),
    monotonicMs: options.monotonicMs ?? (() => Number(process.hrtime.bigint() / 1_000_000n)),
    session: randomUUID(),
  };
  return new Store(path, openFile(path, options.mode), clocks, options.mode === 'write');
}

/** The record of a shop: tests with their traces, and the ledger of everything done. Close it when done. */
export class Store extends LedgerStore {
  readonly #file: OpenFile;
  readonly #mayWrite: boolean;

  constructor(path: string, file: OpenFile, clocks: Clocks, mayWrite: boolean) {
    super(path, file.db, clocks, mayWrite);
    this.#file = file;
    this.#mayWrite = mayWrite;
    if (file.created) this.act('store created', { format: 1 });
    if (file.migratedFrom !== null) this.act('store migrated', { from: file.migratedFrom });
  }

  close(): void {
    this.#file.close();
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
    const text = canonicalJson(header);
    const head = headerHead(Buffer.from(text, 'utf8'));
    const row = { ...summaryRow(header), head };
    const columns = Object.keys(row);
    const testId = this.write(() => {
      if (this.has(header.test)) throw new DwellmarkError('refused', `there is a test ${header.test} already`);
      const id = this.db
        .prepare(`INSERT INTO test (${columns.join(', ')}) VALUES (${columns.map((name) => `@${name}`).join(', ')})`)
        .run(row).lastInsertRowid;
      this.db.prepare('INSERT INTO header (test, header) VALUES (?, ?)').run(id, text);
      this.lines.act('test started', { header: head.toString('hex'), origin: header.origin }, { test: header.test });
      return Number(id);
    });
    return this.#writer(testId, header, head, every);
  }

  /** Takes up a test that was never sealed, where its last commit ended. */
  resumeTest(test: string, every?: CommitEvery): TestWriter {
    const stored = this.test(test);
    if (stored.seal) throw new DwellmarkError('refused', `test ${test} is sealed`);
    this.act('test resumed', {}, { test });
    return this.#writer(this.#demandId(test), stored.header, Buffer.from(stored.headerHead, 'hex'), every);
  }

  /** Tests that were started and never sealed, oldest first: cut off, or running now. */
  unfinished(): TestLine[] {
    return this.tests({ verdict: 'unsealed', order: 'oldest first' });
  }

  tests(filter: TestFilter = {}): TestLine[] {
    return listTests(this.db, filter);
  }

  has(test: string): boolean {
    return this.#testId(test) !== undefined;
  }

  /** @throws DwellmarkError (`input`) when there is no such test. */
  test(test: string): StoredTest {
    const id = this.#demandId(test);
    const row = this.db
      .prepare<[number], { header: string; header_head: Buffer; seal: string | null; head: Buffer | null }>(
        `SELECT header.header, test.head AS header_head, seal.seal, seal.head
         FROM test JOIN header ON header.test = test.id LEFT JOIN seal ON seal.test = test.id WHERE test.id = ?`,
      )
      .get(id);
    if (!row) throw new DwellmarkError('altered', `the header of test ${test} is missing`);
    const seal = row.seal === null ? null : (JSON.parse(row.seal) as TestSeal);
    const acts = this.lines.about(test);
    return {
      header: JSON.parse(row.header) as TestHeader,
      headerHead: row.header_head.toString('hex'),
      seal,
      head: row.head?.toString('hex') ?? null,
      ledger: acts.find(({ kind }) => kind === 'test sealed')?.position ?? null,
      result: seal?.result ?? null,
      signatures: signaturesOn(this.lines, test),
      certificates: certificates(this.lines, test),
      voided: testVoid(this.lines, test),
      acts,
    };
  }

  /** Everything that happened in a test, in order, a chunk at a time. @throws DwellmarkError (`input`) for no such test. */
  inputs(test: string): HoldInputs {
    const id = this.#demandId(test);
    return inputsOf(() => storedLinks(this.db, id));
  }

  /** The readings alone. */
  trace(test: string): Iterable<Reading> {
    return readingsOf(this.links(test));
  }

  /** Lines as the gauge sent them, where they were kept. */
  rawLines(test: string): Iterable<RawLine> {
    return rawLinesOf(this.links(test));
  }

  /** What the wall clock showed during a test, and every step it made. */
  clockMarks(test: string): Iterable<ClockMark> {
    return clockMarksOf(this.links(test));
  }

  /** The chain's links as they are stored. */
  links(test: string): Iterable<StoredLink> {
    return storedLinks(this.db, this.#demandId(test));
  }

  /** First, last, least and greatest of each stretch of a sealed trace, without unpacking it. */
  quickLooks(test: string): QuickLook[] {
    return quickLooks(this.db, this.#demandId(test));
  }

  /** Strikes a test out. Nothing is removed; its certificates have to be voided each by itself. */
  voidTest(test: string, why: { by: string; reason: string }): LedgerMark {
    this.#demandId(test);
    return this.write(() => voidTest(this.lines, test, why));
  }

  /** Keeps a signature. Whether it is a good one is the business of whoever made it, and of verify. */
  addSignature(signature: RecordSignature): LedgerMark {
    const { head } = this.test(signature.test);
    if (head === null)
      throw new DwellmarkError('refused', `test ${signature.test} is not sealed: there is nothing to sign`);
    if (head !== signature.head)
      throw new DwellmarkError('refused', `the signature is on another record than test ${signature.test} has`);
    return this.act('signed', { ...signature }, { test: signature.test, subject: signature.signer.id });
  }

  /** @throws DwellmarkError (`refused`) without a sealed trace, on a voided test, or for a number already used. */
  issueCertificate(certificate: CertificateRecord): LedgerMark {
    const { seal, head, voided } = this.test(certificate.test);
    if (!seal || seal.readings === 0)
      throw new DwellmarkError('refused', `test ${certificate.test} has no sealed trace: no trace, no certificate`);
    if (voided) throw new DwellmarkError('refused', `test ${certificate.test} was voided: ${voided.reason}`);
    if (head !== certificate.head)
      throw new DwellmarkError('refused', `the certificate stands on another record than test ${certificate.test} has`);
    return this.write(() => issueCertificate(this.lines, certificate));
  }

  /** The rows as they lie in the file: for an audit. */
  get raw(): RawRows {
    return new RawRows(this.db, this.lines);
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
      commitEvery: every ?? (header.origin === 'live' ? commitEvery.live : commitEvery.repeatable),
    });
  }

  #testId(test: string): number | undefined {
    return this.db.prepare<[string], number>('SELECT id FROM test WHERE test = ?').pluck().get(test);
  }

  #demandId(test: string): number {
    const id = this.#testId(test);
    if (id === undefined)
      throw new DwellmarkError('input', `there is no test ${test} in this store`, {
        place: { file: this.path },
        advice: '`dwellmark list` shows what there is.',
      });
    return id;
  }
}
