/** Put at the end of a line that was cut because it was too long; no pattern lets it through. */
export const cutMark = '\u0018';

const cutMarkBytes = Buffer.from(cutMark, 'latin1');
const nothing = Buffer.alloc(0);

/** Bytes to hand on to the line parser, and when the last byte of each line in them arrived. */
export interface GuardedBytes {
  readonly bytes: Uint8Array;
  /** One for each line that is not empty: how many bytes of the piece came after the line's end. */
  readonly bytesAfter: readonly number[];
}

/**
 * Stands before a line parser that splits on a terminator and keeps what it has not seen the end of. What could go
 * wrong without it: a megabyte of noise without a terminator grows in memory and is searched again with every piece;
 * and the parser's own end hands a cut-off last line on as if it were whole. So the guard cuts a line at `maxBytes`,
 * ends it with {@link cutMark}, and swallows the rest up to the next terminator; and whoever feeds a parser from it
 * never ends that parser.
 */
export class LineGuard {
  readonly #terminator: Buffer;
  readonly #maxBytes: number;
  /** Bytes of the line under way, without the terminator. */
  #length = 0;
  #swallowing = false;
  /** How many bytes of the terminator have matched at the end of the last piece. */
  #tail: Buffer = nothing;

  constructor(terminator: string, maxBytes: number) {
    this.#terminator = Buffer.from(terminator, 'latin1');
    this.#maxBytes = maxBytes;
  }

  /** Bytes that have come since the last terminator. */
  get pendingBytes(): number {
    return this.#length;
  }

  push(piece: Uint8Array): GuardedBytes {
    const carried = this.#tail.length;
    const data = carried === 0 ? Buffer.from(piece) : Buffer.concat([this.#tail, piece]);
    const out: Buffer[] = [];
    const bytesAfter: number[] = [];
    // Lines that need nothing done to them are handed on in one stretch.
    let stretch = 0;
    let from = 0;
    for (;;) {
      const at = data.indexOf(this.#terminator, from);
      const upTo = at === -1 ? data.length - this.#startOfTerminator(data, from) : at;
      if (this.#swallowing || this.#length + upTo - from > this.#maxBytes) {
        if (from > stretch) out.push(data.subarray(stretch, from));
        this.#take(data.subarray(from, upTo), out);
        if (at !== -1) out.push(cutMarkBytes);
        stretch = upTo;
      } else this.#length += upTo - from;
      if (at === -1) {
        if (upTo > stretch) out.push(data.subarray(stretch, upTo));
        this.#tail = upTo === data.length ? nothing : Buffer.from(data.subarray(upTo));
        break;
      }
      from = at + this.#terminator.length;
      if (this.#length > 0) bytesAfter.push(data.length - from);
      this.#length = 0;
      this.#swallowing = false;
    }
    return { bytes: out.length === 1 && out[0] ? out[0] : Buffer.concat(out), bytesAfter };
  }

  #take(bytes: Buffer, out: Buffer[]): void {
    const room = this.#maxBytes - this.#length;
    this.#length = Math.min(this.#maxBytes, this.#length + bytes.length);
    if (bytes.length > room) this.#swallowing = true;
    const kept = bytes.subarray(0, Math.max(0, room));
    if (kept.length > 0) out.push(kept);
  }

  /** Length of the longest start of the terminator that the data ends with. */
  #startOfTerminator(data: Buffer, from: number): number {
    for (let length = Math.min(this.#terminator.length - 1, data.length - from); length > 0; length--)
      if (data.subarray(data.length - length).equals(this.#terminator.subarray(0, length))) return length;
    return 0;
  }
}
