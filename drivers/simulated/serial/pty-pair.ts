import { constants, openSync, writeSync } from 'node:fs';
import { setTimeout as sleep } from 'node:timers/promises';
import { ReadStream } from 'node:tty';

/** A pseudo-terminal pair: this end is the instrument's, the other is opened by path like any serial port. */
export interface PtyPair {
  /** What a program opens as its serial port. */
  readonly path: string;
  /** Sends bytes to the program; resolves when the system has taken them. */
  write(bytes: Uint8Array): Promise<void>;
  /** Called with the bytes that the program sends. */
  onBytes(listener: (bytes: Uint8Array) => void): void;
  /** Pulls the plug: the program's port dies. More than once is harmless. */
  close(): void;
}

/** Bytes that nobody reads fill the system's buffer, some 16 kB: room is asked for again after so long, ms. */
const roomAskedMs = 20;

/** What the terminal library holds inside; its published types name only the spawning half. */
interface OpenedTerminal {
  readonly _master: ReadStream;
  readonly _slave: ReadStream;
  readonly _pty: string;
  readonly _fd: number;
}

/**
 * Opens a pair for raw bytes: no echo, no line editing, no change of CR or LF, in either direction.
 * The far end stays open here too, so that the program may close and open its port again.
 * @throws Error on a system without pseudo-terminals
 */
export async function openPtyPair(): Promise<PtyPair> {
  if (process.platform === 'win32') throw new Error('this system has no pseudo-terminals');
  const library = await import('@lydell/node-pty');
  const exported: unknown = 'default' in library ? library.default : library;
  const { open } = exported as { open(options: { encoding: null; cols: number; rows: number }): OpenedTerminal };
  const terminal = open({ encoding: null, cols: 80, rows: 24 });
  // The library reads its far end itself and would take bytes from the program: an own, unread handle instead.
  const far = new ReadStream(openSync(terminal._pty, constants.O_RDWR | constants.O_NOCTTY));
  far.setRawMode(true);
  terminal._slave.destroy();
  const near = terminal._master;
  const listeners: ((bytes: Uint8Array) => void)[] = [];
  let closed = false;
  near.on('data', (bytes: Uint8Array) => {
    for (const listener of listeners) listener(bytes);
  });
  near.on('error', () => undefined);
  let before: Promise<void> = Promise.resolve();
  // By the handle's own write, Node waits in the system for room, and nothing else in the process goes on.
  const writeAll = async (bytes: Uint8Array): Promise<void> => {
    for (let at = 0; at < bytes.length; ) {
      if (closed) throw new Error('the pseudo-terminal is closed');
      try {
        at += writeSync(terminal._fd, bytes, at);
      } catch (cause) {
        if ((cause as NodeJS.ErrnoException).code !== 'EAGAIN') throw cause;
        await sleep(roomAskedMs);
      }
    }
  };
  return {
    path: terminal._pty,
    write: (bytes) => {
      const written = before.then(() => writeAll(bytes));
      before = written.catch(() => undefined);
      return written;
    },
    onBytes: (listener) => {
      listeners.push(listener);
    },
    close: () => {
      if (closed) return;
      closed = true;
      far.destroy();
      near.destroy();
    },
  };
}
