import { createConnection, type Socket } from 'node:net';
import { arrivalUs, DwellmarkError, faultAt } from '../../src/gauge/index.js';
import type { PolledLine, PolledListener } from '../serial/index.js';

/** Port of Modbus on TCP, as registered. */
const usualPort = 502;
const connectMs = 5000;
const reopenEveryMs = 500;
/** Asked for so long without a byte in return, ms, and the way there is broken: the system would wait for minutes. */
const deadMs = 5000;

/**
 * `gateway:502`, `192.168.1.50` or `[fe80::1]:502` as host and port.
 * @throws DwellmarkError (`input`) for what is neither.
 */
export function tcpAddress(path: string): { readonly host: string; readonly port: number } {
  const [, bracketed, plain, port] = /^(?:\[([^\]]+)\]|([^:\s/]+))(?::(\d{1,5}))?$/.exec(path) ?? [];
  const host = bracketed ?? plain;
  const number = port === undefined ? usualPort : Number(port);
  if (host !== undefined && number >= 1 && number <= 65_535) return { host, port: number };
  throw new DwellmarkError('input', `"${path}" names no gateway`, {
    place: { key: 'path' },
    advice: 'Write its host and port, for example "192.168.1.50:502".',
  });
}

/** A connection that outlives its cable: when it breaks it is made again until it is closed. */
export class TcpLine implements PolledLine {
  readonly #path: string;
  readonly #at: { readonly host: string; readonly port: number };
  readonly #listener: PolledListener;
  #socket: Socket | undefined;
  #startNs = 0n;
  #heardMs = 0;
  #closed = false;
  #retry: NodeJS.Timeout | undefined;

  constructor(path: string, listener: PolledListener) {
    this.#path = path;
    this.#at = tcpAddress(path);
    this.#listener = listener;
  }

  nowUs(): number {
    return arrivalUs(Number((process.hrtime.bigint() - this.#startNs) / 1000n));
  }

  /** @throws DwellmarkError (`gauge`): nobody there, or not reached. */
  async open(): Promise<void> {
    this.#startNs = process.hrtime.bigint();
    try {
      this.#attach(await this.#connect());
    } catch (cause) {
      const { code = '', message = '' } = cause as NodeJS.ErrnoException;
      const what =
        code === 'ECONNREFUSED'
          ? `${this.#path} takes no connection`
          : code === 'ENOTFOUND'
            ? `there is no host ${this.#at.host}`
            : `${this.#path} is not reached: ${message || code}`;
      throw new DwellmarkError('gauge', what, {
        place: { key: 'path' },
        advice: 'Check host, port and network cable, and that Modbus TCP is switched on in the gateway.',
        cause,
      });
    }
  }

  async close(): Promise<void> {
    this.#closed = true;
    clearTimeout(this.#retry);
    this.#socket?.destroy();
    this.#socket = undefined;
  }

  write(bytes: Buffer): boolean {
    const socket = this.#socket;
    if (!socket) return false;
    if (performance.now() - this.#heardMs > deadMs) {
      socket.destroy();
      return false;
    }
    socket.write(bytes);
    return true;
  }

  #connect(): Promise<Socket> {
    return new Promise((resolve, reject) => {
      const socket = createConnection({ ...this.#at, noDelay: true });
      const timer = setTimeout(() => socket.destroy(new Error('no answer')), connectMs);
      socket.once('connect', () => {
        clearTimeout(timer);
        resolve(socket);
      });
      socket.once('error', reject);
      socket.once('close', () => clearTimeout(timer));
    });
  }

  #attach(socket: Socket): void {
    this.#socket = socket;
    this.#heardMs = performance.now();
    socket.on('data', (piece: Buffer) => {
      this.#heardMs = performance.now();
      this.#listener.bytes(piece, this.nowUs());
    });
    socket.on('error', () => {});
    socket.on('close', () => this.#lost(socket));
  }

  #lost(socket: Socket): void {
    if (this.#closed || this.#socket !== socket) return;
    this.#socket = undefined;
    const text = `the gauge at ${this.#path} is gone: look at network, gateway and power`;
    this.#listener.fault(faultAt(this.nowUs(), 'unplugged', text));
    this.#tryAgain();
  }

  #tryAgain(): void {
    this.#retry = setTimeout(() => {
      this.#connect().then(
        (socket) => {
          if (this.#closed) return void socket.destroy();
          const text = `the gauge at ${this.#path} is back: check its serial; its zero may have moved`;
          this.#listener.fault(faultAt(this.nowUs(), 'replugged', text, 'warn'));
          this.#attach(socket);
          this.#listener.reopened();
        },
        () => {
          if (!this.#closed) this.#tryAgain();
        },
      );
    }, reopenEveryMs);
  }
}
