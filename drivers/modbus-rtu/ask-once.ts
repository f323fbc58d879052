import { DwellmarkError } from '../../src/gauge/index.js';
import { type PortSettings, SerialLine } from '../serial/index.js';
import { exceptionWords, findReply, type RegisterRequest, requestFrame } from './frame.js';

/** No byte for so long, ms: an answer that somebody asked for before is over. */
const quietMs = 50;

/**
 * Asks a device for registers once, for setting it up: which device is there, and what stands where.
 * @throws DwellmarkError (`gauge`) when the port does not open, nothing answers, or the device refuses.
 */
export async function askRegisters(
  port: PortSettings,
  request: RegisterRequest,
  timeoutMs = 500,
): Promise<readonly number[]> {
  let bytes: Buffer = Buffer.alloc(0);
  let look = (): void => {};
  const line = new SerialLine(port, {
    bytes: (piece) => {
      bytes = Buffer.concat([bytes, piece]).subarray(0, 512);
      look();
    },
    fault: () => {},
    reopened: () => {},
  });
  await line.open();
  try {
    do {
      bytes = Buffer.alloc(0);
      await new Promise((resolve) => setTimeout(resolve, quietMs));
    } while (bytes.length > 0 && line.nowUs() < 1000 * timeoutMs);
    bytes = Buffer.alloc(0);
    line.write(requestFrame(request));
    const reply = await new Promise<ReturnType<typeof findReply>>((resolve) => {
      const timer = setTimeout(() => resolve(findReply(bytes, request)), timeoutMs);
      look = () => {
        const found = findReply(bytes, request);
        if (found.kind === 'incomplete' || found.kind === 'wrong-crc') return;
        clearTimeout(timer);
        resolve(found);
      };
    });
    if (reply.kind === 'registers') return reply.registers;
    const at = `address ${request.address} on ${port.path}`;
    if (reply.kind === 'exception')
      throw new DwellmarkError('gauge', `${at} refuses: ${exceptionWords[reply.code] ?? `exception ${reply.code}`}`);
    throw new DwellmarkError('gauge', `${at} ${reply.kind === 'wrong-crc' ? 'answers garbled' : 'does not answer'}`, {
      advice: 'Check address, baud rate, parity, and the two wires.',
    });
  } finally {
    await line.close();
  }
}
