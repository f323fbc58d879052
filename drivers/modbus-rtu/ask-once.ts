import { DwellmarkError } from '../../src/gauge/index.js';
import { type PolledListener, type PortSettings, SerialLine } from '../serial/index.js';
import { exceptionWords, type RegisterRequest, type Reply, rtuFraming } from './frame.js';
import { tcpFraming } from './tcp-frame.js';
import { TcpLine } from './tcp-line.js';

/** No byte for so long, ms: an answer that somebody asked for before is over. */
const quietMs = 50;

/** The way to a device: a serial line, or the host and port of a gateway. */
export type ModbusWay = PortSettings | { readonly path: string; readonly tcp: true };

/**
 * Asks a device for registers once, for setting it up: which device is there, and what stands where.
 * @throws DwellmarkError (`gauge`) when the port does not open, nothing answers, or the device refuses.
 */
export async function askRegisters(
  port: ModbusWay,
  request: RegisterRequest,
  timeoutMs = 500,
): Promise<readonly number[]> {
  let bytes: Buffer = Buffer.alloc(0);
  let look = (): void => {};
  const overTcp = 'tcp' in port;
  const framing = overTcp ? tcpFraming(request) : rtuFraming(request);
  const listener: PolledListener = {
    bytes: (piece) => {
      bytes = Buffer.concat([bytes, piece]).subarray(0, 512);
      look();
    },
    fault: () => {},
    reopened: () => {},
  };
  const line = overTcp ? new TcpLine(port.path, listener) : new SerialLine(port, listener);
  await line.open();
  try {
    do {
      bytes = Buffer.alloc(0);
      await new Promise((resolve) => setTimeout(resolve, quietMs));
    } while (bytes.length > 0 && line.nowUs() < 1000 * timeoutMs);
    bytes = Buffer.alloc(0);
    line.write(framing.question());
    const reply = await new Promise<Reply>((resolve) => {
      const timer = setTimeout(() => resolve(framing.find(bytes)), timeoutMs);
      look = () => {
        let found = framing.find(bytes);
        while (found.kind === 'other') {
          bytes = bytes.subarray(found.end);
          found = framing.find(bytes);
        }
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
      advice: overTcp
        ? 'Check the address, and the line behind the gateway.'
        : 'Check address, baud rate, parity, and the two wires.',
    });
  } finally {
    await line.close();
  }
}
