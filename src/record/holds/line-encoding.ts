import { deflateRawSync, inflateRawSync } from 'node:zlib';
import { ByteReader, ByteWriter, damaged, unzigzag, zigzag } from '../chain/index.js';

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
const mostBytes = 2 ** 28;

/**
 * Encoding 2 of raw lines (link kind 5), deflated: for each line the step of its time from the line before in zigzag,
 * a byte of {@link lineBits}, the gauge's serial when it is another than the line before had, and the text. Packed line
 * by line as they come, so that nothing of a line is kept in memory but its bytes. Encoding 1 (link kind 3) was
 * canonical JSON.
 */
export class LinePacker {
  #bytes = new ByteWriter();
  #count = 0;
  #lastUs = 0;
  #gauge = noGauge;

  get count(): number {
    return this.#count;
  }

  add({ timeUs, text, accepted, gauge = noGauge }: RawLine): void {
    const other = gauge !== this.#gauge;
    this.#bytes.varint(zigzag(timeUs - this.#lastUs));
    this.#bytes.byte((accepted ? lineBits.accepted : 0) | (other ? lineBits.otherGauge : 0));
    if (other) this.#bytes.text(gauge);
    this.#bytes.text(text);
    this.#gauge = gauge;
    this.#lastUs = timeUs;
    this.#count += 1;
  }

  /** The payload of what was added; empty again afterwards. */
  done(): Uint8Array {
    // The quickest level: numbers and units repeat so much that a better one saves little.
    const payload = deflateRawSync(this.#bytes.done(), { level: 1 });
    this.#bytes = new ByteWriter();
    this.#count = 0;
    this.#lastUs = 0;
    this.#gauge = noGauge;
    return payload;
  }
}

/** The lines of a payload. @throws DwellmarkError (`altered`) when the bytes are no lines. */
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

const utf8 = new TextDecoder();
const textOf = (bytes: ByteReader): string => utf8.decode(bytes.bytes(bytes.varint()));

/** @throws DwellmarkError (`altered`) when the bytes were not deflated here. */
export function inflated(payload: Uint8Array): Uint8Array {
  try {
    return inflateRawSync(payload, { maxOutputLength: mostBytes });
  } catch {
    throw damaged('holds lines that can not be unpacked');
  }
}
