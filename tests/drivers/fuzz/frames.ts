import fc from 'fast-check';
import type { RegisterRequest } from '../../../drivers/modbus-rtu/frame.js';

export const request: RegisterRequest = { address: 1, function: 3, start: 0, count: 2 };

/** CRC by the definition, bit by bit. */
export function crcByBits(bytes: Uint8Array): number {
  let crc = 0xffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >> 1) ^ 0xa001 : crc >> 1;
  }
  return crc;
}

function framed(bytes: number[]): number[] {
  const crc = crcByBits(Uint8Array.from(bytes));
  return [...bytes, crc & 0xff, crc >> 8];
}

const answer = fc
  .tuple(fc.nat(0xffff), fc.nat(0xffff))
  .map(([a, b]) => framed([1, 3, 4, a >> 8, a & 0xff, b >> 8, b & 0xff]));
const part = fc.oneof(
  answer,
  answer.chain((frame) => fc.nat(frame.length).map((at) => frame.slice(0, at))),
  answer.chain((frame) => fc.tuple(fc.nat(frame.length - 1), fc.nat(255)).map(([at, byte]) => frame.with(at, byte))),
  fc.nat(255).map((code) => framed([1, 0x83, code])),
  fc.uint8Array({ maxLength: 12 }).map((bytes) => [...bytes]),
  fc.constant([1, 3, 4]),
);

/** What may come between a question and the end of its time. */
export const noisyAnswer = fc.array(part, { maxLength: 5 }).map((parts) => Buffer.from(parts.flat()));

/** Whether the bytes hold a frame that answers the request, by trying every place. */
export function holdsAnswer(bytes: Buffer): boolean {
  for (let at = 0; at < bytes.length; at++)
    for (const length of [9, 5]) {
      const frame = bytes.subarray(at, at + length);
      if (frame.length < length || crcByBits(frame.subarray(0, -2)) !== frame.readUInt16LE(length - 2)) continue;
      if (frame[0] === 1 && (length === 9 ? frame[1] === 3 && frame[2] === 4 : frame[1] === 0x83)) return true;
    }
  return false;
}
