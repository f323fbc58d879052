import type Database from 'better-sqlite3';
import {
  damaged,
  decodeReadings,
  emptyLook,
  holdsReadings,
  isLinkKind,
  type Link,
  lookAt,
  packBlock,
  type QuickLook,
  traceStart,
  unpackBlock,
} from '../chain/index.js';
import { demandRows, insertingRow, insertRow } from '../file/index.js';

interface FreshRow {
  readonly seq: number;
  readonly kind: number;
  readonly payload: Buffer;
  readonly head: Buffer;
}

/** A block's row: the packed links, and what its columns say of them. */
export interface StoredBlock extends QuickLook {
  readonly firstSeq: number;
  readonly links: number;
  /** Head after its last link. */
  readonly head: Buffer;
  readonly payload: Buffer;
}

/** A link with the head that lies beside it; a link inside a block has none until the block's last. */
export interface StoredLink extends Link {
  readonly head: Buffer | null;
}

const pageOfLinks = 500;
const mostReadingsInBlock = 4096;
const mostBytesInBlock = 60_000;

/** How links are added to an unsealed test. */
export function linkAdder(db: Database.Database, testId: number): (link: Link, head: Uint8Array) => void {
  const insert = insertingRow(db, 'fresh (test, seq, kind, payload, head)', 5);
  return (link, head) => insert([testId, link.seq, link.kind, link.payload, head]);
}

/** All links of a test in order, sealed or not, a page at a time. */
export function* storedLinks(db: Database.Database, testId: number): Iterable<StoredLink> {
  for (const block of storedBlocks(db, testId)) {
    const last = block.firstSeq + block.links - 1;
    for (const link of unpackBlock(block.payload, block.firstSeq))
      yield { ...link, head: link.seq === last ? block.head : null };
  }
  for (const row of freshRows(db, testId)) {
    if (!isLinkKind(row.kind)) throw damaged(`is of an unknown kind (${row.kind})`);
    yield { seq: row.seq, kind: row.kind, payload: row.payload, head: row.head };
  }
}

/** A sealed test's blocks in order. */
export function* storedBlocks(db: Database.Database, testId: number): Iterable<StoredBlock> {
  const next = db.prepare<[number, number], BlockRow>(
    'SELECT * FROM block WHERE test = ? AND first_seq > ? ORDER BY first_seq LIMIT 8',
  );
  for (let after = Number.MIN_SAFE_INTEGER; ; ) {
    const rows = next.all(testId, after);
    yield* rows.map(fromRow);
    const last = rows.at(-1);
    if (!last) return;
    after = last.first_seq;
  }
}

/** What the blocks say at a glance, without unpacking one: for an overview of a long trace. */
export const quickLooks = (db: Database.Database, testId: number): QuickLook[] =>
  db
    .prepare<[number], BlockRow>(
      `SELECT first_seq, links, readings, first_us, last_us, first_pa, last_pa, min_pa, max_pa FROM block
       WHERE test = ? ORDER BY first_seq`,
    )
    .all(testId)
    .map(fromRow);

/** Moves the fresh links of a test into blocks: fewer and fuller rows, the same links. Within the caller's transaction. */
export function packFresh(db: Database.Database, testId: number): void {
  const cursor = traceStart();
  let links: Link[] = [];
  let head: Buffer | undefined;
  let bytes = 0;
  let look = emptyLook;
  const write = (): void => {
    const first = links[0];
    if (!first || !head) return;
    insertBlock(db, testId, {
      ...look,
      firstSeq: first.seq,
      links: links.length,
      head,
      payload: Buffer.from(packBlock(links)),
    });
    const { changes } = db
      .prepare('DELETE FROM fresh WHERE test = ? AND seq BETWEEN ? AND ?')
      .run(testId, first.seq, first.seq + links.length - 1);
    demandRows('fresh', changes, links.length);
    [links, head, bytes, look] = [[], undefined, 0, emptyLook];
  };
  for (const row of freshRows(db, testId)) {
    if (!isLinkKind(row.kind)) throw damaged(`is of an unknown kind (${row.kind})`);
    const link: Link = { seq: row.seq, kind: row.kind, payload: row.payload };
    if (holdsReadings(link.kind)) look = lookAt(look, decodeReadings(link, cursor));
    links.push(link);
    head = row.head;
    bytes += row.payload.length;
    if (look.readings >= mostReadingsInBlock || bytes >= mostBytesInBlock) write();
  }
  write();
}

function* freshRows(db: Database.Database, testId: number): Iterable<FreshRow> {
  const page = db.prepare<[number, number], FreshRow>(
    `SELECT seq, kind, payload, head FROM fresh WHERE test = ? AND seq > ? ORDER BY seq LIMIT ${pageOfLinks}`,
  );
  for (let after = Number.MIN_SAFE_INTEGER; ; ) {
    const rows = page.all(testId, after);
    yield* rows;
    const last = rows.at(-1);
    if (!last) return;
    after = last.seq;
  }
}

interface BlockRow {
  readonly first_seq: number;
  readonly links: number;
  readonly readings: number;
  readonly first_us: number | null;
  readonly last_us: number | null;
  readonly first_pa: number | null;
  readonly last_pa: number | null;
  readonly min_pa: number | null;
  readonly max_pa: number | null;
  readonly head: Buffer;
  readonly payload: Buffer;
}

const fromRow = (row: BlockRow): StoredBlock => ({
  firstSeq: row.first_seq,
  links: row.links,
  readings: row.readings,
  firstUs: row.first_us,
  lastUs: row.last_us,
  firstPa: row.first_pa,
  lastPa: row.last_pa,
  minPa: row.min_pa,
  maxPa: row.max_pa,
  head: row.head,
  payload: row.payload,
});

/** Puts a block into its row. */
export function insertBlock(db: Database.Database, testId: number, block: StoredBlock): void {
  const { firstSeq, links, readings, firstUs, lastUs, firstPa, lastPa, minPa, maxPa, head, payload } = block;
  insertRow(
    db,
    'block (test, first_seq, links, readings, first_us, last_us, first_pa, last_pa, min_pa, max_pa, head, payload)',
    [testId, firstSeq, links, readings, firstUs, lastUs, firstPa, lastPa, minPa, maxPa, head, payload],
  );
}
