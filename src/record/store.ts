import { randomUUID } from 'node:crypto';
import type Database from 'better-sqlite3';
import type { TestResult, Verdict } from '../evaluation/index.js';
import type { Reading } from '../gauge/index.js';
import type { HoldInput } from '../holdtest/index.js';
import type { CalibrationSpec } from '../procedure/index.js';
import { DwellmarkError } from '../units/index.js';
import { canonicalJson, headerHead, type QuickLook, sha256Hex } from './chain/index.js';
import { type OpenFile, openFile, storageError } from './file/index.js';
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
  type ActAbout,
  type ActKind,
  type CertificateRecord,
  type Clocks,
  certificates,
  type EnrolledSigner,
  enrolSigner,
  enterCalibration,
  enterGauge,
  type GaugeRecord,
  gauges,
  type IssuedCertificate,
  issueCertificate,
  type KnownGauge,
  Ledger,
  type LedgerLine,
  type LedgerMark,
  nextCertificateNumber,
  revokeSigner,
  type SignerRecord,
  type StoredSignature,
  signaturesOn,
  signers,
  testVoid,
  type VoidMark,
  voidCertificate,
  voidTest,
} from './ledger/index.js';
import type { TestSeal } from './seal.js';
import type { RecordSignature } from './signature.js';

export interface StoreOptions {
  readonly mode: 'write' | 'read';
  /** Wall clock; the computer's when absent. */
  readonly now?: () => Date;
  /** Clock that never steps, milliseconds. */
  readonly monotonicMs?: () => number;
}

/** A test as the store knows it. */
export interface StoredTest {
  readonly header: TestHeader;
  /** Head of the header, hex. */
  readonly headerHead: string;
  readonly seal: TestSeal | null;
  /** Head of the seal, hex: what is signed. */
  readonly head: string | null;
  /** Ledger position of the seal's line. */
  readonly ledger: number | null;
  readonly result: TestResult | null;
  readonly signatures: readonly StoredSignature[];
  readonly certificates: readonly IssuedCertificate[];
  readonly voided: VoidMark | null;
  /** Every ledger line about this test, oldest first. */
  readonly acts: readonly LedgerLine[];
}

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
  return new Store(path, openFile(path, options.mode), clocks, options.mode);
}

/** The record of a shop: tests with their traces, and the ledger of everything done. Close it when done. */
export class Store {
  readonly path: string;
  readonly #file: OpenFile;
  readonly #db: Database.Database;
  readonly #clocks: Clocks;
  readonly #mode: 'write' | 'read';
  readonly #ledger: Ledger;

  constructor(path: string, file: OpenFile, clocks: Clocks, mode: 'write' | 'read') {
    this.path = path;
    this.#file = file;
    this.#db = file.db;
    this.#clocks = clocks;
    this.#mode = mode;
    this.#ledger = new Ledger(file.db, clocks);
    if (file.created) this.act('store created', { format: 1 });
    if (file.migratedFrom !== null) this.act('store migrated', { from: file.migratedFrom });
  }

  close(): void {
    this.#file.close();
  }

  /** A whole copy, made while tests may run. The copy is a store of its own. */
  async backup(path: string): Promise<void> {
    await this.#db.backup(path);
    if (this.#mode === 'write') this.act('backup made', { ledger: this.ledgerHead() });
  }

  // — tests —

  /** The next number of a year, `T-2026-0007`. */
  nextTestId(year: number = this.#clocks.now().getFullYear()): string {
    const prefix = `T-${year}-`;
    const row = this.#db
      .prepare<[number, string], { last: number | null }>(
        'SELECT MAX(CAST(substr(test, ?) AS INTEGER)) AS last FROM test WHERE test GLOB ?',
      )
      .get(prefix.length + 1, `${prefix}[0-9]*`);
    return `${prefix}${String((row?.last ?? 0) + 1).padStart(4, '0')}`;
  }

  /**
   * Starts a test: its header is on disk when this returns. A live test is committed at least once a second; a log or
   * a simulation, which can be read again, in larger chunks.
   */
  beginTest(header: TestHeader, every?: CommitEvery): TestWriter {
    const text = canonicalJson(header);
    const head = headerHead(Buffer.from(text, 'utf8'));
    const row = { ...summaryRow(header), head };
    const testId = this.#write(() => {
      if (this.#testId(header.test) !== undefined)
        throw new DwellmarkError('refused', `there is a test ${header.test} already`);
      const columns = Object.keys(row);
      const id = this.#db
        .prepare(`INSERT INTO test (${columns.join(', ')}) VALUES (${columns.map((name) => `@${name}`).join(', ')})`)
        .run(row).lastInsertRowid;
      this.#db.prepare('INSERT INTO header (test, header) VALUES (?, ?)').run(id, text);
      this.#ledger.act('test started', { header: head.toString('hex'), origin: header.origin }, { test: header.test });
      return Number(id);
    });
    return this.#writer(testId, header, head, every);
  }

  /** Takes up a test that was never sealed, where its last commit ended. */
  resumeTest(test: string, every?: CommitEvery): TestWriter {
    const stored = this.test(test);
    if (stored.seal) throw new DwellmarkError('refused', `test ${test} is sealed`);
    this.act('test resumed', {}, { test });
    const headed = Buffer.from(stored.headerHead, 'hex');
    return this.#writer(this.#demandId(test), stored.header, headed, every);
  }

  /** Tests that were started and never sealed, oldest first: cut off, or running now. */
  unfinished(): TestLine[] {
    return [...listTests(this.#db, { verdict: 'unsealed', order: 'oldest first' })];
  }

  tests(filter: TestFilter = {}): TestLine[] {
    return [...listTests(this.#db, filter)];
  }

  has(test: string): boolean {
    return this.#testId(test) !== undefined;
  }

  /** @throws DwellmarkError (`input`) when there is no such test. */
  test(test: string): StoredTest {
    const id = this.#demandId(test);
    const header = this.#db
      .prepare<[number], { header: string; head: Buffer }>(
        'SELECT header.header, test.head FROM header JOIN test ON test.id = header.test WHERE test.id = ?',
      )
      .get(id);
    if (!header) throw new DwellmarkError('altered', `the header of test ${test} is missing`);
    const sealed = this.#db
      .prepare<[number], { seal: string; head: Buffer; verdict: Verdict }>(
        'SELECT seal, head, verdict FROM seal WHERE test = ?',
      )
      .get(id);
    const seal = sealed ? (JSON.parse(sealed.seal) as TestSeal) : null;
    const acts = this.#ledger.about(test);
    return {
      header: JSON.parse(header.header) as TestHeader,
      headerHead: header.head.toString('hex'),
      seal,
      head: sealed?.head.toString('hex') ?? null,
      ledger: acts.find(({ kind }) => kind === 'test sealed')?.position ?? null,
      result: seal?.result ?? null,
      signatures: signaturesOn(this.#ledger, test),
      certificates: certificates(this.#ledger, test),
      voided: testVoid(this.#ledger, test),
      acts,
    };
  }

  /** Everything that happened in a test, in order, a chunk at a time. */
  inputs(test: string): Iterable<HoldInput> {
    return inputsOf(this.links(test));
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
    return storedLinks(this.#db, this.#demandId(test));
  }

  /** First, last, least and greatest of each stretch of a sealed trace, without unpacking it. */
  quickLooks(test: string): QuickLook[] {
    return quickLooks(this.#db, this.#demandId(test));
  }

  /** Strikes a test out. Nothing is removed; its certificates have to be voided each by itself. */
  voidTest(test: string, why: { by: string; reason: string }): LedgerMark {
    this.#demandId(test);
    return this.#write(() => voidTest(this.#ledger, test, why));
  }

  // — ledger —

  /** Writes a line of the ledger: on disk when it returns. */
  act(kind: ActKind, body: Readonly<Record<string, unknown>>, about: ActAbout = {}): LedgerMark {
    return this.#write(() => this.#ledger.act(kind, body, about));
  }

  ledgerHead(): LedgerMark {
    return this.#ledger.head();
  }

  /** All lines, oldest first. */
  ledger(): Iterable<LedgerLine> {
    return this.#ledger.all();
  }

  // — signatures and people —

  /** Keeps a signature. Whether it is a good one is the business of whoever made it, and of verify. */
  addSignature(signature: RecordSignature): LedgerMark {
    const { head } = this.test(signature.test);
    if (head === null)
      throw new DwellmarkError('refused', `test ${signature.test} is not sealed: there is nothing to sign`);
    if (head !== signature.head)
      throw new DwellmarkError('refused', `the signature is on another record than test ${signature.test} has`);
    return this.act('signed', { ...signature }, { test: signature.test, subject: signature.signer.id });
  }

  signers(): EnrolledSigner[] {
    return signers(this.#ledger);
  }

  addSigner(signer: SignerRecord): void {
    this.#write(() => enrolSigner(this.#ledger, signer));
  }

  revokeSigner(id: string, why: { by: string; reason: string }): void {
    this.#write(() => revokeSigner(this.#ledger, id, why));
  }

  // — certificates —

  certificateNumber(series: string): string {
    return nextCertificateNumber(this.#ledger, series);
  }

  /** @throws DwellmarkError (`refused`) without a sealed trace, on a voided test, or for a number already used. */
  issueCertificate(certificate: CertificateRecord): LedgerMark {
    const { seal, head, voided } = this.test(certificate.test);
    if (!seal || seal.readings === 0)
      throw new DwellmarkError('refused', `test ${certificate.test} has no sealed trace: no trace, no certificate`);
    if (voided) throw new DwellmarkError('refused', `test ${certificate.test} was voided: ${voided.reason}`);
    if (head !== certificate.head)
      throw new DwellmarkError('refused', `the certificate stands on another record than test ${certificate.test} has`);
    return this.#write(() => issueCertificate(this.#ledger, certificate));
  }

  voidCertificate(number: string, why: { by: string; reason: string }): LedgerMark {
    return this.#write(() => voidCertificate(this.#ledger, number, why));
  }

  /** All certificates ever issued, oldest first. */
  certificates(): IssuedCertificate[] {
    return certificates(this.#ledger);
  }

  // — gauges —

  gauges(): KnownGauge[] {
    return gauges(this.#ledger);
  }

  addGauge(gauge: GaugeRecord): LedgerMark {
    return this.#write(() => enterGauge(this.#ledger, gauge));
  }

  /** Enters a calibration, with the laboratory's certificate as it came when there is one. */
  addCalibration(
    serial: string,
    calibration: CalibrationSpec,
    file?: { media: string; bytes: Uint8Array },
  ): LedgerMark {
    return this.#write(() => enterCalibration(this.#ledger, serial, calibration, file ? this.#attach(file) : null));
  }

  /** A kept file by its SHA-256. */
  attachment(sha256: string): { media: string; bytes: Buffer } | undefined {
    return this.#db
      .prepare<[string], { media: string; bytes: Buffer }>('SELECT media, bytes FROM attachment WHERE sha256 = ?')
      .get(sha256);
  }

  /** The open file itself, for verify, which looks at rows as they lie. */
  get rows(): Database.Database {
    return this.#db;
  }

  #attach(file: { media: string; bytes: Uint8Array }): string {
    const sha256 = sha256Hex(file.bytes);
    if (!this.attachment(sha256))
      this.#db
        .prepare('INSERT INTO attachment (sha256, media, bytes) VALUES (?, ?, ?)')
        .run(sha256, file.media, file.bytes);
    return sha256;
  }

  #writer(testId: number, header: TestHeader, head: Buffer, every?: CommitEvery): TestWriter {
    return new TestWriter({
      db: this.#db,
      path: this.path,
      ledger: this.#ledger,
      clocks: this.#clocks,
      testId,
      header,
      headerHead: head,
      commitEvery: every ?? (header.origin === 'live' ? commitEvery.live : commitEvery.repeatable),
    });
  }

  /** One transaction; SQLite's own errors come out as errors for a person. */
  #write<T>(work: () => T): T {
    if (this.#mode === 'read') throw new Error('this store was opened to be read');
    try {
      return this.#db.transaction(work)();
    } catch (cause) {
      throw storageError(cause, this.path);
    }
  }

  #testId(test: string): number | undefined {
    return this.#db.prepare<[string], { id: number }>('SELECT id FROM test WHERE test = ?').get(test)?.id;
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
