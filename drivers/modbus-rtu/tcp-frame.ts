import type { Framing, RegisterRequest, Reply } from './frame.js';

/** Transaction, protocol, length (MODBUS messaging on TCP/IP V1.0b, 3.1.3); behind them the unit and what is asked. */
const headBytes = 6;
/** Unit, function and 1 byte at least; unit and 253 bytes at most. */
const shortest = 3;
const longest = 254;

/**
 * The frame that asks for registers over TCP, with the number that its answer must carry.
 * @example tcpFrame({ address: 1, function: 3, start: 0, count: 2 }, 7).toString('hex') // '000700000006010300000002'
 */
export function tcpFrame({ address, function: code, start, count }: RegisterRequest, transaction: number): Buffer {
  const frame = Buffer.from([0, 0, 0, 0, 0, 6, address, code, 0, 0, 0, 0]);
  frame.writeUInt16BE(transaction, 0);
  frame.writeUInt16BE(start, 8);
  frame.writeUInt16BE(count, 10);
  return frame;
}

/**
 * Looks at the head of the bytes for the answer to a request. A connection keeps order and loses nothing, so frames follow
 * one another; what is no frame is passed over a byte at a time. A frame of another transaction or unit is not the answer.
 */
export function findTcpReply(bytes: Buffer, request: RegisterRequest, transaction: number): Reply {
  const { address, function: code, count } = request;
  if (bytes.length < headBytes) return { kind: 'incomplete' };
  const length = bytes.readUInt16BE(4);
  if (bytes.readUInt16BE(2) !== 0 || length < shortest || length > longest) return { kind: 'other', end: 1 };
  const end = headBytes + length;
  if (bytes.length < end) return { kind: 'incomplete' };
  const frame = bytes.subarray(0, end);
  if (frame.readUInt16BE(0) !== transaction || frame[6] !== address) return { kind: 'other', end };
  if (frame[7] === (code | 0x80) && length === 3) return { kind: 'exception', code: frame[8] ?? 0, frame, end };
  if (frame[7] !== code || frame[8] !== 2 * count || length !== 3 + 2 * count) return { kind: 'other', end };
  const registers = Array.from({ length: count }, (_, index) => frame.readUInt16BE(9 + 2 * index));
  return { kind: 'registers', registers, frame, end };
}

/** Questions and answers over TCP, paired by their transaction. */
export function tcpFraming(request: RegisterRequest): Framing {
  let transaction = 0;
  return {
    question: () => {
      transaction = (transaction + 1) % 0x10000;
      return tcpFrame(request, transaction);
    },
    find: (bytes) => findTcpReply(bytes, request, transaction),
  };
}
