import type { Reading } from '../gauge/index.js';
import type { HoldInputs } from '../holdtest/index.js';
import { DwellmarkError } from '../units/index.js';
import type { QuickLook } from './chain/index.js';
import type { TestHeader } from './header.js';
import {
  benchChecks,
  type ClockMark,
  clockMarksOf,
  inputsOf,
  listTests,
  quickLooks,
  type RawLine,
  rawLinesOf,
  readingsOf,
  type StoredLink,
  storedLinks,
  type TestFilter,
  type TestLine,
} from './holds/index.js';
import { certificates, correctionsIn, signaturesOn, testVoid } from './ledger/index.js';
import { LedgerStore } from './ledger-store.js';
import type { TestSeal } from './seal.js';
import type { StoredTest } from './stored-test.js';

/** The part of the store that finds tests and reads them. */
export abstract class TestStore extends LedgerStore {
  /** Tests that were started and never sealed, oldest first: cut off, or running now. */
  unfinished(): TestLine[] {
    return this.tests({ verdict: 'unsealed', order: 'oldest first' });
  }

  tests(filter: TestFilter = {}): TestLine[] {
    return listTests(this.db, filter);
  }

  /** Holds on plugged lines at a bench since a day or time (ISO 8601), sealed and not voided, newest first. */
  benchChecks(bench: string, since: string): Iterable<string> {
    return benchChecks(this.db, bench, since);
  }

  has(test: string): boolean {
    return this.#idOf(test) !== undefined;
  }

  /** @throws DwellmarkError (`input`) when there is no such test. */
  test(test: string): StoredTest {
    const id = this.demandId(test);
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
      corrections: correctionsIn(acts, test),
      acts,
    };
  }

  /** Everything that happened in a test, in order, a chunk at a time. @throws DwellmarkError (`input`) for no such test. */
  inputs(test: string): HoldInputs {
    const id = this.demandId(test);
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
    return storedLinks(this.db, this.demandId(test));
  }

  /** First, last, least and greatest of each stretch of a sealed trace, without unpacking it. */
  quickLooks(test: string): QuickLook[] {
    return quickLooks(this.db, this.demandId(test));
  }

  #idOf(test: string): number | undefined {
    return this.db.prepare<[string], number>('SELECT id FROM test WHERE test = ?').pluck().get(test);
  }

  protected demandId(test: string): number {
    const id = this.#idOf(test);
    if (id === undefined)
      throw new DwellmarkError('input', `there is no test ${test} in this store`, {
        place: { file: this.path },
        advice: '`dwellmark list` shows what there is.',
      });
    return id;
  }
}
