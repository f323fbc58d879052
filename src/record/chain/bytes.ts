import { DwellmarkError } from '../../units/index.js';

const utf8 = new TextEncoder();

/** Bytes that grow: whole numbers of any size up to 2^53 in groups of seven bits, lowest first. */
export class ByteWriter {
  #bytes = new Uint8Array(256);
  #length = 0;

  get length(): number {
    return this.#length;
  }

  /** Changes a byte that was written. */
  put(at: number, value: number): void {
    this.#bytes[at] = value;
  }

  byte(value: number): void {
    if (this.#length === this.#bytes.length) this.#grow(1);
    this.#bytes[this.#length++] = value;
  }

  /** A whole number, 0 to 2^53 - 1. */
  varint(value: number): void {
    let rest = value;
    while (rest > 127) {
      this.byte((rest % 128) | 128);
      rest = rest < 0x80000000 ? rest >>> 7 : Math.floor(rest / 128);
    }
    this.byte(rest);
  }

  /** Whole numbers below 2^24 in as many bits each as the largest needs, that width first, lowest bit first. */
  bits(values: Float64Array): void {
    let most = 0;
    for (let index = 0; index < values.length; index += 1) most = Math.max(most, values[index] as number);
    const width = bitsOf(most);
    this.byte(width);
    this.#makeRoom(Math.ceil((values.length * width) / 8));
    const bytes = this.#bytes;
    let [waiting, count, at] = [0, 0, this.#length];
    for (let index = 0; index < values.length; index += 1) {
      waiting |= (values[index] as number) << count;
      count += width;
      while (count >= 8) {
        bytes[at++] = waiting;
        waiting >>>= 8;
        count -= 8;
      }
    }
    if (count > 0) bytes[at++] = waiting;
    this.#length = at;
  }

  bytes(values: Uint8Array): void {
    this.#makeRoom(values.length);
    this.#bytes.set(values, this.#length);
    this.#length += values.length;
  }

  /** A text as UTF-8, without its length. */
  letters(text: string): void {
    this.#makeRoom(3 * text.length);
    this.#length += utf8.encodeInto(text, this.#bytes.subarray(this.#length)).written;
  }

  /** A text as UTF-8 behind its length. */
  text(text: string): void {
    const { length } = text;
    const from = this.#length;
    this.varint(length);
    this.#makeRoom(length);
    const bytes = this.#bytes;
    let end = this.#length;
    for (let at = 0; at < length; at += 1) {
      const code = text.charCodeAt(at);
      if (code > 127) {
        const encoded = utf8.encode(text);
        this.#length = from;
        this.varint(encoded.length);
        this.bytes(encoded);
        return;
      }
      bytes[end++] = code;
    }
    this.#length = end;
  }

  /** A copy of what was written. The writer is empty then, and keeps its room. */
  done(): Uint8Array {
    const bytes = this.written().slice();
    this.#length = 0;
    return bytes;
  }

  /** What was written, where the next will be written too. */
  written(): Uint8Array {
    return this.#bytes.subarray(0, this.#length);
  }

  /** Empty again, and as roomy as before. */
  clear(): void {
    this.#length = 0;
  }

  #makeRoom(by: number): void {
    if (this.#length + by > this.#bytes.length) this.#grow(by);
  }

  #grow(by: number): void {
    const bigger = new Uint8Array(Math.max(this.#bytes.length * 2, this.#length + by));
    bigger.set(this.#bytes);
    this.#bytes = bigger;
  }
}

/** How many bytes {@link ByteWriter.varint} takes. */
export function varintSize(value: number): number {
  let rest = value;
  let size = 1;
  while (rest > 127) {
    rest = Math.floor(rest / 128);
    size += 1;
  }
  return size;
}

/** How many bits a whole number needs, 0 or more. */
export const bitsOf = (value: number): number =>
  value < 0x80000000 ? 32 - Math.clz32(value) : Math.floor(Math.log2(value)) + 1;

/** A whole number of either sign as one without: 0, -1, 1, -2 become 0, 1, 2, 3. */
export const zigzag = (value: number): number => (value < 0 ? -2 * value - 1 : 2 * value);

export const unzigzag = (value: number): number => (value % 2 === 0 ? value / 2 : -(value + 1) / 2);

/** Reads what {@link ByteWriter} wrote. Bytes that end too soon or run too long are an altered record. */
export class ByteReader {
  readonly #bytes: Uint8Array;
  readonly #view: DataView;
  #at = 0;

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
    this.#view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  }

  get finished(): boolean {
    return this.#at >= this.#bytes.length;
  }

  byte(): number {
    const value = this.#bytes[this.#at++];
    if (value === undefined) throw damaged('ends in the middle of a value');
    return value;
  }

  varint(): number {
    const first = this.byte();
    if (first < 128) return first;
    let value = first & 127;
    let weight = 128;
    for (;;) {
      const next = this.byte();
      value += (next & 127) * weight;
      if (value > Number.MAX_SAFE_INTEGER) throw damaged('holds a number that is too large');
      if (next < 128) return value;
      weight *= 128;
    }
  }

  /**
   * So many numbers as {@link ByteWriter.bits} wrote them, with their sign as of {@link unzigzag}, times a scale and,
   * where a sum is given, added up from it on, put into a row from a place on; returns the last sum. All in one go, for
   * most of a record lies like this.
   */
  signedBits(into: Float64Array, from: number, count: number, scale: number, before: number | null): number | null {
    const width = this.byte();
    if (width > 24) throw damaged('holds numbers that are too wide');
    const mask = (1 << width) - 1;
    const view = this.#view;
    const start = this.#at;
    const end = start + Math.ceil((count * width) / 8);
    if (end > view.byteLength) throw damaged('ends in the middle of a value');
    const whole = view.byteLength - 4;
    let bit = 0;
    const adding = before !== null;
    let sum = before ?? 0;
    for (let index = from; index < from + count; index += 1) {
      const at = start + (bit >>> 3);
      const four = at <= whole ? view.getInt32(at, true) : this.#lastFour(at);
      const value = (four >>> (bit & 7)) & mask;
      const difference = ((value >>> 1) ^ -(value & 1)) * scale;
      sum += difference;
      into[index] = adding ? sum : difference;
      bit += width;
    }
    this.#at = end;
    return adding ? sum : null;
  }

  /** Four bytes of which some may lie behind the end. */
  #lastFour(at: number): number {
    let four = 0;
    for (let index = this.#bytes.length - 1; index >= at; index -= 1)
      four = (four << 8) | (this.#bytes[index] as number);
    return four;
  }

  /** All bytes that are left. */
  rest(): Uint8Array {
    return this.bytes(this.#bytes.length - this.#at);
  }

  bytes(count: number): Uint8Array {
    if (this.#at + count > this.#bytes.length) throw damaged('ends in the middle of a field');
    this.#at += count;
    return this.#bytes.subarray(this.#at - count, this.#at);
  }
}

export const damaged = (what: string): DwellmarkError =>
  new DwellmarkError('altered', `a stored chunk ${what}`, {
    advice: 'Run `dwellmark verify --all` to see what else is damaged.',
  });
