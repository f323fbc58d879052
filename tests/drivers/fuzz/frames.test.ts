import fc from 'fast-check';
import { expect, it } from 'vitest';
import { findReply } from '../../../drivers/modbus-rtu/frame.js';
import { crcByBits, holdsAnswer, noisyAnswer, request } from './frames.js';

it('500 noisy answers: a whole frame is found, and none is invented', () => {
  fc.assert(
    fc.property(noisyAnswer, (bytes) => {
      const reply = findReply(bytes, request);
      const found = reply.kind === 'registers' || reply.kind === 'exception';
      expect(found).toBe(holdsAnswer(bytes));
      if (found) expect(crcByBits(reply.frame.subarray(0, -2))).toBe(reply.frame.readUInt16LE(reply.frame.length - 2));
    }),
    { numRuns: 500 },
  );
});
