import type { ReadingColumns } from '../../gauge/index.js';
import { ByteReader, ByteWriter, damaged } from './bytes.js';
import { type Link, type LinkKind, linkKinds } from './hashed-bytes.js';

/**
 * A block is a run of links packed into one row when the test is sealed: each link's kind, length and payload. It
 * is a matter of storage alone: the links and their hashes stay as they were committed.
 */
export function packBlock(links: readonly Link[]): Uint8Array {
  const out = new ByteWriter();
  for (const link of links) {
    out.byte(link.kind);
    out.varint(link.payload.length);
    out.bytes(link.payload);
  }
  return out.done();
}

/** The links of a block, the first with the number given. @throws DwellmarkError (`altered`) for other bytes. */
export function* unpackBlock(block: Uint8Array, firstSeq: number): Iterable<Link> {
  const bytes = new ByteReader(block);
  for (let seq = firstSeq; !bytes.finished; seq += 1) {
    const kind = bytes.byte();
    if (!isLinkKind(kind)) throw damaged(`holds an entry of an unknown kind (${kind})`);
    yield { seq, kind, payload: bytes.bytes(bytes.varint()) };
  }
}

export const isLinkKind = (kind: number): kind is LinkKind => Object.values(linkKinds).some((known) => known === kind);

/** What a block's readings come to at a glance; null when it holds no reading or none with a pressure. */
export interface QuickLook {
  readonly readings: number;
  readonly firstUs: number | null;
  readonly lastUs: number | null;
  readonly firstPa: number | null;
  readonly lastPa: number | null;
  readonly minPa: number | null;
  readonly maxPa: number | null;
}

export const emptyLook: QuickLook = {
  readings: 0,
  firstUs: null,
  lastUs: null,
  firstPa: null,
  lastPa: null,
  minPa: null,
  maxPa: null,
};

/** The look with more readings taken in. */
export function lookAt(look: QuickLook, { length, timeUs, pressurePa }: ReadingColumns): QuickLook {
  let [first, last] = [Number.NaN, Number.NaN];
  let [min, max] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (let index = 0; index < length; index += 1) {
    const pascals = pressurePa[index] as number;
    if (Number.isNaN(pascals)) continue;
    if (Number.isNaN(first)) first = pascals;
    last = pascals;
    if (pascals < min) min = pascals;
    if (pascals > max) max = pascals;
  }
  const some = !Number.isNaN(first);
  return {
    readings: look.readings + length,
    firstUs: look.firstUs ?? timeUs[0] ?? null,
    lastUs: timeUs[length - 1] ?? look.lastUs,
    firstPa: look.firstPa ?? (some ? first : null),
    lastPa: some ? last : look.lastPa,
    minPa: some ? Math.min(look.minPa ?? min, min) : look.minPa,
    maxPa: some ? Math.max(look.maxPa ?? max, max) : look.maxPa,
  };
}
