import { closeSync, constants, openSync, write } from 'node:fs';
import { symlink, unlink } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ReadStream } from 'node:tty';

/** What the pty library opens, beyond its published types: both ends of the pair, the far descriptor, the near name. */
interface OpenedPair {
  readonly master: ReadStream;
  readonly slave: ReadStream;
  readonly _fd: number;
  readonly _pty: string;
}

const { open } = createRequire(import.meta.url)('@lydell/node-pty') as {
  open(options: { encoding: null }): OpenedPair;
};

/**
 * A device on a cable, for tests: the far end of a real pseudo-terminal whose near end a driver opens by `path`. The
 * path is a link of our own, so that a device can go and another one come back under the same name.
 */
export class Cable {
  readonly path: string;
  #pair: { readonly master: ReadStream; readonly fd: number; readonly near: number } | undefined;
  static #count = 0;

  private constructor(path: string) {
    this.path = path;
  }

  static async lay(): Promise<Cable> {
    Cable.#count += 1;
    const cable = new Cable(join(tmpdir(), `dwellmark-cable-${process.pid}-${Cable.#count}`));
    await cable.plugIn();
    return cable;
  }

  async plugIn(): Promise<void> {
    const { master, slave, _fd, _pty } = open({ encoding: null });
    slave.setRawMode(true);
    // Held open and never read: the pair lives on while no program has the port.
    const near = openSync(_pty, constants.O_RDWR | constants.O_NOCTTY);
    slave.destroy();
    master.on('error', () => {});
    await unlink(this.path).catch(() => {});
    await symlink(_pty, this.path);
    this.#pair = { master, fd: _fd, near };
  }

  /** The device's end, for a process that plays the device. */
  get farEnd(): number {
    if (!this.#pair) throw new Error('the plug is pulled');
    return this.#pair.fd;
  }

  /** Bytes the driver sends to the device. */
  onBytes(listener: (bytes: Buffer) => void): void {
    this.#pair?.master.on('data', listener);
  }

  /** Sends bytes as fast as the driver takes them, without holding up the event loop that the driver runs on. */
  async send(bytes: Uint8Array | string): Promise<void> {
    let rest = typeof bytes === 'string' ? Buffer.from(bytes, 'latin1') : Buffer.from(bytes);
    while (rest.length > 0 && this.#pair) {
      const written = await writeSome(this.#pair.fd, rest.subarray(0, 2048));
      if (written === 0) await sleep(1);
      rest = rest.subarray(written);
    }
  }

  /** Pulls the plug: what the driver has not read yet is lost. */
  async unplug(): Promise<void> {
    if (this.#pair) closeSync(this.#pair.near);
    this.#pair?.master.destroy();
    this.#pair = undefined;
    await unlink(this.path).catch(() => {});
  }
}

const writeSome = (fd: number, bytes: Buffer): Promise<number> =>
  new Promise((resolve, reject) =>
    write(fd, bytes, (error, written) => {
      if (error && error.code !== 'EAGAIN') reject(error);
      else resolve(error ? 0 : written);
    }),
  );

/** Cuts bytes into pieces of a size, the last one shorter. */
export function inPieces(bytes: Buffer, size: number): Buffer[] {
  const pieces: Buffer[] = [];
  for (let at = 0; at < bytes.length; at += size) pieces.push(bytes.subarray(at, at + size));
  return pieces;
}

export const sleep = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
