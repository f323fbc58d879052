import type { LedgerLine, LedgerRow, Store } from '../record/index.js';
import { DwellmarkError } from '../units/index.js';

/** What goes to the archive in one transaction: rows in the order in which its guards want them. */
export interface Consignment {
  readonly rows: readonly { readonly table: string; readonly rows: readonly Readonly<Record<string, unknown>>[] }[];
  /** Last ledger position in it, or before it. */
  readonly upTo: number;
  readonly testsSealed: number;
}

/** A transaction grows to about so much, then it is sent. */
const fullAtBytes = 2_000_000;
const fullAtLines = 400;

/** The store's lines after a position, with the headers, traces, seals and kept files that they tell of. */
export function* consignments(store: Store, after: number): Iterable<Consignment> {
  const load = new Load();
  const years = new Map<string, number>();
  let upTo = after;
  for (const row of store.raw.ledger()) {
    const line = JSON.parse(row.line) as LedgerLine;
    if (line.kind === 'test started' && line.test !== null) years.set(line.test, new Date(line.at).getUTCFullYear());
    if (row.position <= after) continue;
    const year = years.get(line.test ?? '') ?? 0;
    if (line.kind === 'calibration entered') addKeptFile(store, line, load);
    if (line.kind === 'test sealed')
      for (const part of sealedTest(store, row, year)) {
        load.add(part.table, part.row, part.bytes);
        if (load.full) yield load.unload(upTo);
      }
    load.add('ledger', { position: row.position, line: row.line, head: row.head }, row.line.length);
    upTo = row.position;
    if (line.kind === 'test started') {
      const { head, header } = found(store, row);
      load.add('test', { test: row.test, year, header, head: Buffer.from(head, 'hex') }, header.length);
    }
    if (line.kind === 'test sealed') load.testsSealed += 1;
    if (load.full) yield load.unload(upTo);
  }
  if (load.bytes > 0) yield load.unload(upTo);
}

class Load {
  #rows: { table: string; rows: Readonly<Record<string, unknown>>[] }[] = [];
  #count = 0;
  bytes = 0;
  testsSealed = 0;

  get full(): boolean {
    return this.bytes >= fullAtBytes || this.#count >= fullAtLines;
  }

  /** Rows of one table that follow each other go in one statement. */
  add(table: string, row: Readonly<Record<string, unknown>>, bytes: number): void {
    const last = this.#rows.at(-1);
    if (last?.table === table) last.rows.push(row);
    else this.#rows.push({ table, rows: [row] });
    this.#count += 1;
    this.bytes += bytes;
  }

  unload(upTo: number): Consignment {
    const consignment = { rows: this.#rows, upTo, testsSealed: this.testsSealed };
    [this.#rows, this.#count, this.bytes, this.testsSealed] = [[], 0, 0, 0];
    return consignment;
  }
}

function found(store: Store, row: LedgerRow): { id: number; head: string; header: string } {
  const raw = store.raw.test(row.test ?? '');
  if (!raw || raw.header === null)
    throw new DwellmarkError('altered', `ledger line ${row.position} starts test ${row.test}, which is not there`, {
      place: { file: store.path },
      advice: 'Run `dwellmark verify --all`.',
    });
  return { id: raw.id, head: raw.head, header: raw.header };
}

/** Trace and seal of a test: each block a row, then the seal. */
function* sealedTest(
  store: Store,
  row: LedgerRow,
  year: number,
): Iterable<{ table: string; row: Readonly<Record<string, unknown>>; bytes: number }> {
  const test = row.test ?? '';
  const { id } = found(store, row);
  for (const block of store.raw.blocks(id)) {
    const { firstSeq, links, readings, head, payload, firstUs, lastUs, firstPa, lastPa, minPa, maxPa } = block;
    const looks = { first_us: firstUs, last_us: lastUs, first_pa: firstPa, last_pa: lastPa, min_pa: minPa };
    yield {
      table: 'block',
      row: { test, year, first_seq: firstSeq, links, readings, ...looks, max_pa: maxPa, head, payload },
      bytes: payload.length,
    };
  }
  const raw = store.raw.test(test);
  if (!raw?.seal)
    throw new DwellmarkError('altered', `ledger line ${row.position} seals test ${test}, whose seal is not there`, {
      place: { file: store.path },
      advice: 'Run `dwellmark verify --all`.',
    });
  const { text, head } = raw.seal;
  yield {
    table: 'seal',
    row: { test, year, seal: text, head: Buffer.from(head, 'hex'), words: raw.searchTexts.join('\n') },
    bytes: text.length,
  };
}

function addKeptFile(store: Store, { position, body }: LedgerLine, load: Load): void {
  if (typeof body.attachment !== 'string') return;
  const file = store.attachment(body.attachment);
  if (!file)
    throw new DwellmarkError('altered', `ledger line ${position} names a kept file that is not there`, {
      place: { file: store.path },
      advice: 'Run `dwellmark verify --all`.',
    });
  load.add(
    'attachment',
    { sha256: Buffer.from(body.attachment, 'hex'), media: file.media, bytes: file.bytes },
    file.bytes.length,
  );
}
