import type Database from 'better-sqlite3';
import { canonicalJson, ledgerHead, ledgerRoot } from '../chain/index.js';
import { demandRows, insertRow } from '../file/index.js';
import type { ActKind, LedgerLine, LedgerMark } from './act-kinds.js';

/** Where the ledger takes its times from. */
export interface Clocks {
  readonly now: () => Date;
  readonly monotonicMs: () => number;
  readonly session: string;
}

/** What an act is about. */
export interface ActAbout {
  readonly test?: string;
  readonly subject?: string;
}

/** A stored line as it lies in its row: what verify looks at. */
export interface LedgerRow {
  readonly position: number;
  readonly kind: string;
  readonly test: string | null;
  readonly subject: string | null;
  readonly line: string;
  readonly head: Buffer;
}

/** The one chained list of all acts: who did what, when, by both clocks. */
export class Ledger {
  readonly #db: Database.Database;
  readonly #clocks: Clocks;

  constructor(db: Database.Database, clocks: Clocks) {
    this.#db = db;
    this.#clocks = clocks;
  }

  /** Writes a line; the caller's transaction, when there is one, carries it along with what it tells of. */
  act(
    kind: ActKind,
    body: Readonly<Record<string, unknown>>,
    about: ActAbout = {},
  ): LedgerMark & { readonly at: string } {
    const last = this.#lastRow();
    const position = (last?.position ?? 0) + 1;
    const line: LedgerLine = {
      position,
      kind,
      at: isoWithOffset(this.#clocks.now()),
      monotonicMs: this.#clocks.monotonicMs(),
      session: this.#clocks.session,
      test: about.test ?? null,
      subject: about.subject ?? null,
      body,
    };
    const text = canonicalJson(line);
    const head = ledgerHead(last?.head ?? ledgerRoot, Buffer.from(text, 'utf8'));
    const row = [position, kind, line.test, line.subject, text, head];
    insertRow(this.#db, 'ledger (position, kind, test, subject, line, head)', row);
    // What a trigger did to the row afterwards does not show in the count.
    demandRows('ledger', this.#lastRow()?.head.equals(head) === true ? 1 : 0, 1);
    return { position, head: head.toString('hex'), at: line.at };
  }

  /** The newest end. Position 0 and a head of zeros for an empty ledger. */
  head(): LedgerMark {
    const last = this.#lastRow();
    return { position: last?.position ?? 0, head: (last?.head ?? ledgerRoot).toString('hex') };
  }

  /** Lines of a kind, oldest first; of one subject or one test when asked. */
  lines(kind: ActKind, about: ActAbout = {}): LedgerLine[] {
    const wants = ['kind = ?'];
    const values: string[] = [kind];
    if (about.test !== undefined) {
      wants.push('test = ?');
      values.push(about.test);
    }
    if (about.subject !== undefined) {
      wants.push('subject = ?');
      values.push(about.subject);
    }
    const sql = `SELECT line FROM ledger WHERE ${wants.join(' AND ')} ORDER BY position`;
    return this.#db
      .prepare<string[], { line: string }>(sql)
      .all(...values)
      .map(({ line }) => JSON.parse(line) as LedgerLine);
  }

  /** What lines of a kind are about, where that begins with a text. */
  subjects(kind: ActKind, prefix: string): string[] {
    return this.#db
      .prepare<[string, string, string], { subject: string }>(
        'SELECT subject FROM ledger WHERE kind = ? AND subject >= ? AND subject < ?',
      )
      .all(kind, prefix, `${prefix}\u{10ffff}`)
      .map(({ subject }) => subject);
  }

  /** Every line about a test, oldest first. */
  about(test: string): LedgerLine[] {
    return this.#db
      .prepare<[string], { line: string }>('SELECT line FROM ledger WHERE test = ? ORDER BY position')
      .all(test)
      .map(({ line }) => JSON.parse(line) as LedgerLine);
  }

  /** All rows as they lie in the file, oldest first, a thousand at a time. */
  *rows(): Iterable<LedgerRow> {
    const page = this.#db.prepare<[number], LedgerRow>(
      'SELECT * FROM ledger WHERE position > ? ORDER BY position LIMIT 1000',
    );
    for (let from = Number.MIN_SAFE_INTEGER; ; ) {
      const rows = page.all(from);
      yield* rows;
      const last = rows.at(-1);
      if (!last) return;
      from = last.position;
    }
  }

  /**
   * The rows about a test and about people's keys, up to a position, oldest first, each with the head of the row before
   * it: found by the indexes, however long the ledger has become.
   */
  rowsAbout(
    test: string,
    signers: readonly string[],
    upTo: number,
  ): (LedgerRow & { readonly before: Buffer | null })[] {
    return this.#db
      .prepare<[number, string, string], LedgerRow & { readonly before: Buffer | null }>(
        `SELECT *, (SELECT head FROM ledger AS earlier WHERE earlier.position < ledger.position
                    ORDER BY earlier.position DESC LIMIT 1) AS before
         FROM ledger WHERE position <= ? AND (test = ? OR (kind IN ('signer enrolled', 'signer revoked')
                    AND subject IN (SELECT value FROM json_each(?)))) ORDER BY position`,
      )
      .all(upTo, test, JSON.stringify(signers));
  }

  /** The end of the ledger as it was at a position. */
  headAt(upTo: number): LedgerMark {
    const row = this.#db
      .prepare<[number], LedgerRow>('SELECT * FROM ledger WHERE position <= ? ORDER BY position DESC LIMIT 1')
      .get(upTo);
    return { position: row?.position ?? 0, head: (row?.head ?? ledgerRoot).toString('hex') };
  }

  /** All lines, oldest first. */
  *all(): Iterable<LedgerLine> {
    for (const row of this.rows()) yield JSON.parse(row.line) as LedgerLine;
  }

  #lastRow(): LedgerRow | undefined {
    return this.#db.prepare<[], LedgerRow>('SELECT * FROM ledger ORDER BY position DESC LIMIT 1').get();
  }
}

/** Wall time with the offset in force, to the millisecond: `2026-03-14T09:26:53.589+01:00`. */
export function isoWithOffset(date: Date): string {
  const minutes = -date.getTimezoneOffset();
  const local = new Date(date.getTime() + minutes * 60_000).toISOString().slice(0, -1);
  const two = (value: number): string => String(Math.trunc(value)).padStart(2, '0');
  const size = Math.abs(minutes);
  return `${local}${minutes < 0 ? '-' : '+'}${two(size / 60)}:${two(size % 60)}`;
}
