import { once } from 'node:events';
import { createServer, type Server, type Socket } from 'node:net';

/** A device on a network, for tests: a port of this computer that a driver connects to by `path`. */
export class TcpWire {
  #server: Server = createServer();
  #port = 0;
  readonly #sockets = new Set<Socket>();
  #listener: (bytes: Buffer) => void = () => {};

  static async lay(): Promise<TcpWire> {
    const wire = new TcpWire();
    await wire.plugIn();
    return wire;
  }

  get path(): string {
    return `127.0.0.1:${this.#port}`;
  }

  /** Takes connections, at the same port as before. */
  async plugIn(): Promise<void> {
    this.#server = createServer((socket) => {
      this.#sockets.add(socket);
      socket.on('data', (bytes) => this.#listener(bytes));
      socket.on('error', () => {});
      socket.on('close', () => this.#sockets.delete(socket));
    });
    await new Promise<void>((resolve) => this.#server.listen(this.#port, '127.0.0.1', resolve));
    const address = this.#server.address();
    this.#port = typeof address === 'object' && address ? address.port : 0;
  }

  onBytes(listener: (bytes: Buffer) => void): void {
    this.#listener = listener;
  }

  /** Sends as fast as the driver takes it. */
  async send(bytes: Uint8Array): Promise<void> {
    for (const socket of this.#sockets)
      if (!socket.write(bytes)) await Promise.race([once(socket, 'drain'), once(socket, 'close')]).catch(() => {});
  }

  async unplug(): Promise<void> {
    for (const socket of this.#sockets) socket.destroy();
    await new Promise<void>((resolve) => this.#server.close(() => resolve()));
  }
}
