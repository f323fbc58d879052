import type Database from 'better-sqlite3';
import type { CalibrationSpec } from '../procedure/index.js';
import { sha256Hex } from './chain/index.js';
import { insertRow, storageError } from './file/index.js';
import {
  type ActAbout,
  type ActKind,
  type Clocks,
  calibrationsOf,
  certificates,
  type EnrolledSigner,
  type EnteredCalibration,
  enrolSigner,
  enterCalibration,
  enterGauge,
  enterProbe,
  type GaugeRecord,
  gauges,
  type IssuedCertificate,
  type KnownGauge,
  Ledger,
  type LedgerLine,
  type LedgerMark,
  nextCertificateNumber,
  revokeSigner,
  type SignerRecord,
  signers,
  voidCertificate,
} from './ledger/index.js';
import type { SignedReason, StatementSignature } from './signature.js';

/** The half of the store that stands in the ledger alone: acts, people, certificate numbers, gauges. */
export abstract class LedgerStore {
  readonly path: string;
  protected readonly db: Database.Database;
  protected readonly clocks: Clocks;
  protected readonly lines: Ledger;
  readonly #mayWrite: boolean;

  protected constructor(path: string, db: Database.Database, clocks: Clocks, mayWrite: boolean) {
    this.path = path;
    this.db = db;
    this.clocks = clocks;
    this.lines = new Ledger(db, clocks);
    this.#mayWrite = mayWrite;
  }

  /** Writes a line of the ledger: on disk when it returns. */
  act(kind: ActKind, body: Readonly<Record<string, unknown>>, about: ActAbout = {}): LedgerMark {
    return this.write(() => this.lines.act(kind, body, about));
  }

  /** The newest end: position and head. Printed on certificates, and an anchor for verify. */
  ledgerHead(): LedgerMark {
    return this.lines.head();
  }

  /** All lines, oldest first. */
  ledger(): Iterable<LedgerLine> {
    return this.lines.all();
  }

  /** Lines of one kind, oldest first; of one subject or one test when asked. */
  acts(kind: ActKind, about: ActAbout = {}): LedgerLine[] {
    return this.lines.lines(kind, about);
  }

  /** Everyone ever enrolled, oldest first. */
  signers(): EnrolledSigner[] {
    return signers(this.lines);
  }

  /** @throws DwellmarkError (`refused`) when the id was used before. */
  addSigner(signer: SignerRecord, signature?: StatementSignature): void {
    this.write(() => enrolSigner(this.lines, signer, signature));
  }

  /** Ends a signer's authority from now on; earlier signatures stand. */
  revokeSigner(id: string, why: SignedReason): void {
    this.write(() => revokeSigner(this.lines, id, why));
  }

  /** The next free number of a series: `C-2026-0001` for `C-2026`. */
  certificateNumber(series: string): string {
    return nextCertificateNumber(this.lines, series);
  }

  /** All certificates ever issued, oldest first. */
  certificates(): IssuedCertificate[] {
    return certificates(this.lines);
  }

  /** @throws DwellmarkError (`refused`) the second time. */
  voidCertificate(number: string, why: SignedReason): LedgerMark {
    return this.write(() => voidCertificate(this.lines, number, why));
  }

  /** All gauges by serial, each with its newest calibration. */
  gauges(): KnownGauge[] {
    return gauges(this.lines);
  }

  /** Enters a gauge, or a known one's changed settings. */
  addGauge(gauge: GaugeRecord): LedgerMark {
    return this.write(() => enterGauge(this.lines, gauge));
  }

  /** Enters an oil probe, or a known one's changed settings. */
  addProbe(probe: Parameters<typeof enterProbe>[1]): LedgerMark {
    return this.write(() => enterProbe(this.lines, probe));
  }

  /** Every calibration of a gauge or probe, in the order they were entered. */
  calibrationsOf(serial: string): EnteredCalibration[] {
    return calibrationsOf(this.lines, serial);
  }

  /** Enters a calibration, with the laboratory's certificate as it came when there is one. */
  addCalibration(
    serial: string,
    calibration: CalibrationSpec,
    file?: { media: string; bytes: Uint8Array },
  ): LedgerMark {
    return this.write(() => enterCalibration(this.lines, serial, calibration, file ? this.#attach(file) : null));
  }

  /** A kept file by its SHA-256. */
  attachment(sha256: string): { media: string; bytes: Buffer } | undefined {
    return this.db
      .prepare<[string], { media: string; bytes: Buffer }>('SELECT media, bytes FROM attachment WHERE sha256 = ?')
      .get(sha256);
  }

  /** Looks and writes that belong together: nothing of another process comes in between, and all is stored or nothing. */
  together<T>(work: () => T): T {
    return this.write(work);
  }

  /** One transaction; SQLite's own errors come out as errors for a person. */
  protected write<T>(work: () => T): T {
    if (!this.#mayWrite) throw new Error('this store was opened to be read');
    try {
      return this.db.transaction(work).immediate();
    } catch (cause) {
      throw storageError(cause, this.path);
    }
  }

  #attach(file: { media: string; bytes: Uint8Array }): string {
    const sha256 = sha256Hex(file.bytes);
    if (!this.attachment(sha256))
      insertRow(this.db, 'attachment (sha256, media, bytes)', [sha256, file.media, file.bytes]);
    return sha256;
  }
}
