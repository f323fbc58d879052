import { describe, expect, it } from 'vitest';
import { findReply, requestFrame, withCrc } from '../../drivers/modbus-rtu/frame.js';
import { registerValue, type WordOrder } from '../../drivers/modbus-rtu/register-value.js';
import { checksumOf, crc16Modbus } from '../../src/gauge/index.js';

const hex = (text: string): Buffer => Buffer.from(text.replaceAll(' ', ''), 'hex');

describe('CRC-16, MODBUS over serial line V1.02, 6.2.2', () => {
  it('of "123456789" is 0x4B37 (check value of the CRC catalogue, CRC-16/MODBUS)', () => {
    expect(crc16Modbus(Buffer.from('123456789'))).toBe(0x4b37);
  });

  // PDUs of the application protocol V1.1b3, 6; its text prints no CRC: computed from the definition, low byte first.
  it('of 02 07 is 0x1241, sent as 41 12 (the frame that 6.2.2 prints, from memory)', () => {
    expect(crc16Modbus(hex('02 07'))).toBe(0x1241);
    expect(withCrc(hex('02 07'))).toEqual(hex('02 07 41 12'));
  });

  it.each([
    ['01 03 00 00 00 0A', 'C5 CD'],
    ['01 03 00 00 00 02', 'C4 0B'],
    ['11 03 00 6B 00 03', '76 87'],
    ['11 04 00 08 00 01', 'B2 98'],
    // write of 1.2345 to register 4
    ['01 10 00 04 00 02 04 3F 9E 04 19', '5C AC'],
    ['11 83 02', 'C1 34'],
    ['01 03 04 43 7D B3 33', '4A 8A'],
  ])('%s ends with %s', (frame, crc) => {
    expect(withCrc(hex(frame))).toEqual(hex(`${frame} ${crc}`));
  });

  it.each([
    [{ address: 1, function: 3, start: 0, count: 10 }, '01 03 00 00 00 0A C5 CD'],
    [{ address: 1, function: 3, start: 0, count: 2 }, '01 03 00 00 00 02 C4 0B'],
    [{ address: 0x11, function: 3, start: 0x6b, count: 3 }, '11 03 00 6B 00 03 76 87'],
    [{ address: 0x11, function: 4, start: 8, count: 1 }, '11 04 00 08 00 01 B2 98'],
  ] as const)('the request %o', (request, frame) => {
    expect(requestFrame(request)).toEqual(hex(frame));
  });
});

describe('answers (MODBUS application protocol V1.1b3, 6.3 and 7; CRC computed)', () => {
  const request = { address: 1, function: 3, start: 0, count: 2 } as const;

  it('01 03 04 43 7D B3 33 4A 8A is 253.7', () => {
    const reply = findReply(hex('01 03 04 43 7D B3 33 4A 8A'), request);
    expect(reply).toMatchObject({ kind: 'registers', registers: [0x437d, 0xb333] });
    if (reply.kind === 'registers') expect(registerValue(reply.registers, 0, 'float32', 'ABCD')).toBeCloseTo(253.7, 4);
  });

  it('11 83 02 C1 34 is exception 2', () => {
    const asked = { address: 0x11, function: 3, start: 0x6b, count: 3 } as const;
    expect(findReply(hex('11 83 02 C1 34'), asked)).toMatchObject({ kind: 'exception', code: 2 });
  });

  it('one bit wrong is no answer', () => {
    const good = hex('01 03 04 43 7D B3 33 4A 8A');
    for (let bit = 0; bit < good.length * 8; bit++) {
      const spoilt = Buffer.from(good);
      spoilt.writeUInt8((spoilt[bit >> 3] ?? 0) ^ (1 << (bit & 7)), bit >> 3);
      expect(findReply(spoilt, request).kind).toMatch(/^(?:incomplete|wrong-crc)$/);
    }
  });
});

// IEEE 754 single precision, computed from the definition
describe.each([
  [250, '43 7A 00 00'],
  [3000, '45 3B 80 00'],
  [123.456, '42 F6 E9 79'],
  [0.1, '3D CC CC CD'],
])('%d in two registers', (value, bytes) => {
  const [a, b, c, d] = hex(bytes);
  const orders: [WordOrder, (number | undefined)[]][] = [
    ['ABCD', [a, b, c, d]],
    ['CDAB', [c, d, a, b]],
    ['BADC', [b, a, d, c]],
    ['DCBA', [d, c, b, a]],
  ];
  it.each(orders)('in the order %s', (order, wire) => {
    const view = Buffer.from(wire.map((byte) => byte ?? 0));
    const registers = [view.readUInt16BE(0), view.readUInt16BE(2)];
    expect(registerValue(registers, 0, 'float32', order)).toBe(Math.fround(value));
  });
});

it('checksums of the line 01+0253.7, computed from their definitions', () => {
  const line = Buffer.from('01+0253.7');
  expect(checksumOf('xor', line)).toBe(0x37);
  expect(checksumOf('sum', line)).toBe(0xbb);
  expect(checksumOf('twos-complement', line)).toBe(0x45);
});
