/**
 * When a line's last byte was on the wire. A port hands on bytes in pieces, often several lines at once; a line that
 * stands `bytesAfter` bytes before the end of its piece came that many byte times earlier. Times only ever rise.
 */
export class LineClock {
  readonly #byteTimeUs: number;
  readonly #arrivals: { readonly timeUs: number; readonly after: number }[] = [];
  #lastUs = -1;

  /** @param line the serial line's settings; a byte is start bit, data bits, parity bit and stop bits. */
  constructor(line: { baudRate: number; dataBits: number; parity: 'none' | 'even' | 'odd'; stopBits: number }) {
    const bits = 1 + line.dataBits + (line.parity === 'none' ? 0 : 1) + line.stopBits;
    this.#byteTimeUs = (bits * 1e6) / line.baudRate;
  }

  /** The time of a line that ended so many bytes before the end of the piece that came at `timeUs`. */
  at(timeUs: number, bytesAfter: number): number {
    this.#lastUs = Math.max(0, timeUs - Math.round(bytesAfter * this.#byteTimeUs), this.#lastUs + 1);
    return this.#lastUs;
  }

  /** The same for whoever hears of the lines later than of their piece: here are the ends in it, {@link next} follows. */
  piece(timeUs: number, bytesAfter: readonly number[]): void {
    for (const after of bytesAfter) this.#arrivals.push({ timeUs, after });
  }

  /** The time of the next line, in the order they came; `nowUs` when no piece told of it. */
  next(nowUs: number): number {
    const { timeUs, after } = this.#arrivals.shift() ?? { timeUs: nowUs, after: 0 };
    return this.at(timeUs, after);
  }

  /** Lines told of and not yet asked for will not come. */
  restart(): void {
    this.#arrivals.length = 0;
  }
}
