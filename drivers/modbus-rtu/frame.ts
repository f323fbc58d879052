import { crc16Modbus } from '../../src/gauge/index.js';

/** What is asked of a device: function 3 reads holding registers, 4 input registers. */
export interface RegisterRequest {
  /** 1 to 247. */
  readonly address: number;
  readonly function: 3 | 4;
  /** First register as it goes on the wire, counted from 0. */
  readonly start: number;
  /** 1 to 125. */
  readonly count: number;
}

/** Bytes with the CRC behind them, low byte first. */
export function withCrc(bytes: Uint8Array): Buffer {
  const crc = crc16Modbus(bytes);
  return Buffer.concat([bytes, Uint8Array.of(crc & 0xff, crc >> 8)]);
}

/**
 * The frame that asks for registers (MODBUS application protocol V1.1b3, 6.3 and 6.4).
 * @example requestFrame({ address: 1, function: 3, start: 0, count: 10 }).toString('hex') // '01030000000ac5cd'
 */
export function requestFrame({ address, function: code, start, count }: RegisterRequest): Buffer {
  return withCrc(Uint8Array.of(address, code, start >> 8, start & 0xff, count >> 8, count & 0xff));
}

export type Reply =
  /** More bytes must come. */
  | { readonly kind: 'incomplete' }
  /** As many bytes as the answer has, but the CRC does not agree. */
  | { readonly kind: 'wrong-crc' }
  /** So many bytes are no answer to this request: another's frame, or none. */
  | { readonly kind: 'other'; readonly end: number }
  | Answer;

/** A whole answer, and where it ends in the bytes. */
export type Answer = { readonly frame: Buffer; readonly end: number } & (
  | { readonly kind: 'registers'; readonly registers: readonly number[] }
  | { readonly kind: 'exception'; readonly code: number }
);

/**
 * Looks for the answer to a request in the bytes that came since it was sent. Framed by address, function, length and
 * CRC, never by a pause; noise and the echo of the request before it are passed over.
 */
export function findReply(bytes: Buffer, request: RegisterRequest): Reply {
  const { address, function: code, count } = request;
  let wrong = false;
  for (let at = 0; at + 1 < bytes.length; at++) {
    if (bytes[at] !== address) continue;
    const isException = bytes[at + 1] === (code | 0x80);
    const isAnswer = bytes[at + 1] === code && (at + 2 >= bytes.length || bytes[at + 2] === 2 * count);
    if (!isException && !isAnswer) continue;
    const length = isException ? 5 : 5 + 2 * count;
    if (at + length > bytes.length) continue;
    const end = at + length;
    const frame = bytes.subarray(at, end);
    if (crc16Modbus(frame.subarray(0, -2)) !== frame.readUInt16LE(length - 2)) {
      wrong = true;
      continue;
    }
    if (isException) return { kind: 'exception', code: frame[2] ?? 0, frame, end };
    const registers = Array.from({ length: count }, (_, index) => frame.readUInt16BE(3 + 2 * index));
    return { kind: 'registers', registers, frame, end };
  }
  return { kind: wrong ? 'wrong-crc' : 'incomplete' };
}

/** How questions are put on the wire, and their answers found in what comes. */
export interface Framing {
  /** The bytes of the next question. */
  question(): Buffer;
  /** Looks for the answer to the last question. */
  find(bytes: Buffer): Reply;
}

/** Questions and answers on a serial line. */
export function rtuFraming(request: RegisterRequest): Framing {
  const frame = requestFrame(request);
  return { question: () => frame, find: (bytes) => findReply(bytes, request) };
}

/** What the codes of an exception mean (MODBUS application protocol V1.1b3, 7). */
export const exceptionWords: Readonly<Record<number, string>> = {
  1: 'it does not know this function',
  2: 'it has no such register',
  3: 'it does not take this number of registers',
  4: 'it has failed',
  5: 'it needs more time',
  6: 'it is busy',
  8: 'its memory is damaged',
};
