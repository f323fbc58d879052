import { deflateRawSync, inflateRawSync } from 'node:zlib';
import {
  ByteReader,
  ByteWriter,
  damaged,
  decodeTimes,
  decodeWhole,
  encodeColumn,
  encodeTimes,
  freshColumn,
  GrowingColumn,
  unzigzag,
} from '../chain/index.js';

/** A line as the gauge sent it; `accepted` tells whether it became a reading. */
export interface RawLine {
  readonly timeUs: number;
  readonly text: string;
  readonly accepted: boolean;
  /** Serial of the gauge, where there were several. */
  readonly gauge?: string;
}

/** Bits of a line: it became a reading; it is another gauge's than the line before. */
const lineBits = { accepted: 1, otherGauge: 2 } as const;
const noGauge = '';

/** More bytes than the lines of any link come to: above it is damage. */
const mostBytes = 2 ** 26;
/** More lines than any second brings: a count above it is damage. */
const mostLines = 2 ** 22;
/** Texts are turned into bytes so many at a time, so that none is kept as a text for long. */
const textsAtOnce = 128;
/** Bytes of the link before that a link is deflated with. */
const mostKnown = 1024;

/**
 * Encoding 3 of raw lines (link kind 7), deflated: how many lines, a byte with how each of the columns is written, the
 * columns time, {@link lineBits} and length (in UTF-16 units), for each change of gauge its serial, and the texts in one
 * row, as UTF-8. The columns go on where the link before ended, and the end of its texts is the dictionary that the
 * bytes are deflated with, for one second looks like the next; so the links of a test are read in order, with one
 * cursor. Encoding 2 (link kind 5) had one line after another, encoding 1 (link kind 3) was canonical JSON.
 */
export class LineCursor {
  readonly times = freshColumn(true);
  readonly bits = freshColumn(false);
  readonly lengths = freshColumn(false);
  /** The end of the texts of the link before. */
  #known: Uint8Array = new Uint8Array(0);

  /** What a link is deflated with. */
  get dictionary(): Uint8Array {
    return this.#known;
  }

  /** The texts of the link that was packed or unpacked. */
  goOn(texts: Uint8Array): void {
    this.#known = texts.slice(-mostKnown);
  }
}

/** Takes lines as they come; nothing of them is kept in memory but their bytes. */
export class LinePacker {
  readonly #cursor = new LineCursor();
  readonly #times = new GrowingColumn();
  readonly #bits = new GrowingColumn();
  readonly #lengths = new GrowingColumn();
  #serials: string[] = [];
  #texts: string[] = [];
  readonly #letters = new ByteWriter();
  readonly #out = new ByteWriter();
  #count = 0;
  #gauge = noGauge;

  get count(): number {
    return this.#count;
  }

  /** A link of the same test that was packed before: what is packed next goes on from it. */
  passed(payload: Uint8Array): void {
    for (const _ of unpackLineColumns(payload, this.#cursor));
  }

  add({ timeUs, text, accepted, gauge = noGauge }: RawLine): void {
    const other = gauge !== this.#gauge;
    if (other) this.#serials.push(gauge);
    this.#gauge = gauge;
    this.#times.add(timeUs);
    this.#bits.add((accepted ? lineBits.accepted : 0) | (other ? lineBits.otherGauge : 0));
    this.#lengths.add(text.length);
    this.#count += 1;
    if (this.#texts.push(text) === textsAtOnce) this.#toLetters();
  }

  /** The payload of what was added; empty again afterwards. */
  done(): Uint8Array {
    this.#toLetters();
    const cursor = this.#cursor;
    const texts = this.#letters.written();
    const out = this.#out;
    out.varint(this.#count);
    const modesAt = out.length;
    for (let column = 0; column < 3; column += 1) out.byte(0);
    out.put(modesAt, encodeTimes(this.#times.taken(), cursor.times, out));
    out.put(modesAt + 1, encodeColumn(this.#bits.taken(), cursor.bits, out));
    out.put(modesAt + 2, encodeColumn(this.#lengths.taken(), cursor.lengths, out));
    for (const serial of this.#serials) out.text(serial);
    out.bytes(texts);
    const payload = deflated(out.written(), cursor.dictionary);
    cursor.goOn(texts);
    for (const part of [this.#times, this.#bits, this.#lengths, this.#letters, out]) part.clear();
    this.#serials = [];
    this.#count = 0;
    this.#gauge = noGauge;
    return payload;
  }

  #toLetters(): void {
    this.#letters.letters(this.#texts.join(''));
    this.#texts = [];
  }
}

/** The lines of a payload; moves the cursor on. @throws DwellmarkError (`altered`) when the bytes are no lines. */
export function* unpackLineColumns(payload: Uint8Array, cursor: LineCursor): Iterable<RawLine> {
  const bytes = new ByteReader(inflated(payload, cursor.dictionary));
  const count = bytes.varint();
  if (count > mostLines) throw damaged(`claims ${count} lines`);
  const [timesMode, bitsMode, lengthsMode] = [bytes.byte(), bytes.byte(), bytes.byte()];
  const times = decodeTimes(bytes, timesMode, count, cursor.times);
  const bits = decodeWhole(bytes, bitsMode, count, cursor.bits);
  const lengths = decodeWhole(bytes, lengthsMode, count, cursor.lengths);
  const serials: string[] = [];
  for (const bit of bits) if (bit & lineBits.otherGauge) serials.push(textOf(bytes));
  const rest = bytes.rest();
  const texts = utf8.decode(rest);
  cursor.goOn(rest);
  let [from, gauge, next] = [0, noGauge, 0];
  for (let index = 0; index < count; index += 1) {
    const mark = bits[index] as number;
    const to = from + (lengths[index] as number);
    if (!(to >= from && to <= texts.length)) throw damaged('has a line longer than its text');
    if (mark & lineBits.otherGauge) gauge = serials[next++] ?? noGauge;
    const accepted = (mark & lineBits.accepted) !== 0;
    const line = { timeUs: times[index] as number, text: texts.slice(from, to), accepted };
    yield gauge === noGauge ? line : { ...line, gauge };
    from = to;
  }
  if (from !== texts.length) throw damaged('has text behind its last line');
}

/** The lines of a payload of encoding 2. @throws DwellmarkError (`altered`) when the bytes are no lines. */
export function* unpackLines(payload: Uint8Array): Iterable<RawLine> {
  const bytes = new ByteReader(inflated(payload));
  let timeUs = 0;
  let gauge = noGauge;
  while (!bytes.finished) {
    timeUs += unzigzag(bytes.varint());
    const bits = bytes.byte();
    if (bits & lineBits.otherGauge) gauge = textOf(bytes);
    const line = { timeUs, text: textOf(bytes), accepted: (bits & lineBits.accepted) !== 0 };
    yield gauge === noGauge ? line : { ...line, gauge };
  }
}

/** A byte order mark is a letter like any other: a gauge may have sent one. */
const utf8 = new TextDecoder('utf-8', { ignoreBOM: true });
const textOf = (bytes: ByteReader): string => utf8.decode(bytes.bytes(bytes.varint()));

/** The quickest level: numbers and units repeat so much that a better one saves little. */
const deflated = (bytes: Uint8Array, dictionary: Uint8Array): Uint8Array =>
  deflateRawSync(bytes, { level: 1, ...(dictionary.length > 0 ? { dictionary } : {}) });

/** @throws DwellmarkError (`altered`) when the bytes were not deflated here. */
export function inflated(payload: Uint8Array, dictionary?: Uint8Array): Uint8Array {
  try {
    return inflateRawSync(payload, { maxOutputLength: mostBytes, ...(dictionary?.length ? { dictionary } : {}) });
  } catch {
    throw damaged('holds lines that can not be unpacked');
  }
}
