/**
 * Arrival is told in steps of a tenth of a millisecond: neither an operating system nor a USB adapter, which gathers
 * bytes for 1 to 16 ms, is more punctual, and the record keeps such times in half the bytes.
 */
const arrivalStepUs = 100;

/** The last step of arrival that is not after a time. */
export const arrivalUs = (timeUs: number): number => Math.floor(timeUs / arrivalStepUs) * arrivalStepUs;

/**
 * When a line's last byte was on the wire. A port hands on bytes in pieces, often several lines at once; a line that
 * stands `bytesAfter` bytes before the end of its piece came that many byte times earlier, yet not before the piece
 * before it: an instrument on USB may send faster than the baud rate that was set. Times are told in steps of
 * {@link arrivalUs}, and only ever rise: of lines that end in one step each is a microsecond later.
 */
export class LineClock {
  readonly #byteTimeUs: number;
  #pieceUs = 0;
  /** Byte time within this piece. */
  #stepUs = 0;
  #lastUs = -1;

  /** @param line the serial line's settings; a byte is start bit, data bits, parity bit and stop bits. */
  constructor(line: { baudRate: number; dataBits: number; parity: 'none' | 'even' | 'odd'; stopBits: number }) {
    const bits = 1 + line.dataBits + (line.parity === 'none' ? 0 : 1) + line.stopBits;
    this.#byteTimeUs = (bits * 1e6) / line.baudRate;
  }

  /**
   * A piece of so many bytes came at `timeUs`. `unwatched` says that nobody could look at the port for a while, because
   * the computer was busy: then its lines are spread evenly over the time since the piece before.
   */
  piece(timeUs: number, bytes: number, unwatched = false): void {
    const evenUs = (timeUs - this.#pieceUs) / Math.max(1, bytes);
    this.#stepUs = unwatched ? evenUs : Math.min(this.#byteTimeUs, evenUs);
    this.#pieceUs = timeUs;
  }

  /** The time of a line that ended so many bytes before the end of the piece. */
  ended(bytesAfter: number): number {
    this.#lastUs = Math.max(0, arrivalUs(this.#pieceUs - bytesAfter * this.#stepUs), this.#lastUs + 1);
    return this.#lastUs;
  }
}
