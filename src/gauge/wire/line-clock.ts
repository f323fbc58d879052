/**
 * Arrival is told in steps of a tenth of a millisecond: neither an operating system nor a USB adapter, which gathers
 * bytes for 1 to 16 ms, is more punctual, and the record keeps such times in half the bytes.
 */
const arrivalStepUs = 100;

/** The last step of arrival that is not after a time. */
export const arrivalUs = (timeUs: number): number => Math.floor(timeUs / arrivalStepUs) * arrivalStepUs;

/** A pause counts at most so many times the usual interval in its mean. */
const longestPause = 4;
/** Lines over which the usual interval is a mean. */
const meanOver = 16;

/** Bytes that a port handed on in one piece. */
interface TimedPiece {
  readonly timeUs: number;
  readonly bytes: number;
  /** Of each line that ends in it: the bytes behind its end. */
  readonly bytesAfter: readonly number[];
  /** Nobody could look at the port since then, because the computer was busy. */
  readonly sinceUs?: number | undefined;
}

/**
 * When a line's last byte was on the wire. A port hands on bytes in pieces, often several lines at once; a line that
 * stands some bytes before the end of its piece came that many byte times earlier, yet not before the piece before it:
 * an instrument on USB may send faster than the baud rate that was set. Lines that piled up while nobody looked came in
 * the instrument's own beat: a busy computer makes no gap, and hides none where lines are missing. Times are told in
 * steps of {@link arrivalUs}, and only ever rise: of lines that end in one step each is a microsecond later.
 */
export class LineClock {
  readonly #byteTimeUs: number;
  #pieceUs = 0;
  #lastUs = -1;
  /** Mean time from line to line, and over how many; not a number until two have come. */
  #usualUs = Number.NaN;
  #learned = 0;

  /** @param line the serial line's settings; a byte is start bit, data bits, parity bit and stop bits. */
  constructor(line: { baudRate: number; dataBits: number; parity: 'none' | 'even' | 'odd'; stopBits: number }) {
    const bits = 1 + line.dataBits + (line.parity === 'none' ? 0 : 1) + line.stopBits;
    this.#byteTimeUs = (bits * 1e6) / line.baudRate;
  }

  /** The times of the lines that end in a piece. */
  ends({ timeUs, bytes, bytesAfter, sinceUs }: TimedPiece): number[] {
    const fromUs = Math.max(this.#pieceUs, sinceUs ?? 0);
    const stepUs = Math.min(this.#byteTimeUs, (timeUs - fromUs) / Math.max(1, bytes));
    const lines = bytesAfter.length;
    const evenUs = (timeUs - fromUs) / Math.max(1, lines);
    const beatUs = Number.isNaN(this.#usualUs) ? evenUs : Math.min(this.#usualUs, evenUs);
    const beforeUs = this.#lastUs;
    const times = bytesAfter.map((after, index) => {
      const earlierUs = sinceUs === undefined ? after * stepUs : (lines - 1 - index) * beatUs;
      this.#lastUs = Math.max(0, arrivalUs(timeUs - earlierUs), this.#lastUs + 1);
      return this.#lastUs;
    });
    if (lines > 0 && beforeUs >= 0 && sinceUs === undefined) this.#learn((this.#lastUs - beforeUs) / lines, lines);
    this.#pieceUs = timeUs;
    return times;
  }

  #learn(intervalUs: number, lines: number): void {
    const usualUs = this.#learned === 0 ? intervalUs : this.#usualUs;
    const mostUs = this.#learned < meanOver ? Number.POSITIVE_INFINITY : longestPause * usualUs;
    this.#learned = Math.min(meanOver, this.#learned + lines);
    this.#usualUs = usualUs + (Math.min(intervalUs, mostUs) - usualUs) * Math.min(1, lines / this.#learned);
  }
}
