import { readSync } from 'node:fs';
import type { SerialPort } from 'serialport';

type PortBinding = NonNullable<SerialPort['port']>;
type Read = PortBinding['read'];

/**
 * Lets an open port wait for bytes before it reads them. The port library's own way on Linux and macOS is to read
 * first, in another thread, to be told that nothing is there, to wait, and to read again in another thread: at a
 * hundred lines a second most of the processor time goes into that. Here the wait comes first, and what has come is
 * then read at once, for a port that is ready holds nobody up. A device that is gone ends the port, where the
 * library's own read would return no bytes again and again. Windows has no such wait: there nothing is changed.
 */
export function readWhenReady(port: SerialPort): void {
  const binding = port.port;
  if (!binding || !('poller' in binding)) return;
  const { poller } = binding;
  const wait = (): Promise<void> =>
    new Promise((resolve, reject) => {
      poller.once('readable', (error) => (error ? reject(error) : resolve()));
    });
  const read: Read = async (buffer, offset, length) => {
    for (;;) {
      await wait();
      const { fd } = binding;
      if (fd === null) throw canceled();
      const bytesRead = readNow(fd, buffer, offset, length);
      if (bytesRead === 0) throw new Error('the device is gone');
      if (bytesRead !== null) return { buffer, bytesRead };
    }
  };
  binding.read = read;
}

/** How many bytes were there; null when none were after all, 0 when none will come any more. */
function readNow(fd: number, buffer: Buffer, offset: number, length: number): number | null {
  try {
    return readSync(fd, buffer, offset, length, null);
  } catch (cause) {
    const code = cause instanceof Error && 'code' in cause ? cause.code : undefined;
    if (code === 'EAGAIN' || code === 'EWOULDBLOCK' || code === 'EINTR') return null;
    throw cause;
  }
}

/** What the port library takes for a port that was closed on purpose. */
const canceled = (): Error => Object.assign(new Error('the port is closed'), { canceled: true });
