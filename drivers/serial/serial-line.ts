import { stat } from 'node:fs/promises';
import type { SerialPort } from 'serialport';
import { arrivalUs, faultAt, type GaugeFault } from '../../src/gauge/index.js';
import { openError } from './open-error.js';
import { deviceIdentity, listPorts, type PortLister } from './port-list.js';
import type { PortSettings } from './port-settings.js';
import { readWhenReady } from './read-when-ready.js';

const reopenEveryMs = 250;
const lookEveryMs = 250;
/** A program that did not get to look at the port for so long was held up. */
const heldUpUs = (lookEveryMs + 150) * 1000;
/** A port hands on what has piled up piece by piece: within so long, ms, and so long after each large one. */
const pileMs = 30;
const largeBytes = 1024;

/** What a driver hears of its port. */
export interface LineListener {
  /**
   * Bytes as they came; `timeUs` is when this program got them. `sinceUs` stands when it had no time for the port before:
   * all of them came later than that, and some may have come long ago.
   */
  bytes(piece: Buffer, timeUs: number, sinceUs?: number): void;
  fault(fault: GaugeFault): void;
  /** The port is there again; what comes next may begin in the middle of a line. */
  reopened(): void;
}

/**
 * A serial port that outlives its cable. When the device goes, the listener hears `unplugged` and the port is tried
 * again until it is closed; when a device answers under the same name, it hears `replugged`, or `other-device` when
 * the system knows it for another one. Time is monotonic microseconds since `open`.
 */
export class SerialLine {
  readonly #settings: PortSettings;
  readonly #listener: LineListener;
  readonly #lister: PortLister;
  #port: SerialPort | undefined;
  #startNs = 0n;
  /** Up to when everything that had come was read. */
  #readUpToUs = 0;
  /** What piled up while this program was held up, as far as it is read. */
  #piledUp: { readonly pieces: Buffer[]; readonly sinceUs: number; readonly timer: NodeJS.Timeout } | undefined;
  #identity: string | null = null;
  #closed = false;
  #retry: NodeJS.Timeout | undefined;
  #watch: NodeJS.Timeout | undefined;

  constructor(settings: PortSettings, listener: LineListener, lister: PortLister = listPorts) {
    this.#settings = settings;
    this.#listener = listener;
    this.#lister = lister;
  }

  /** Microseconds since `open`, from the monotonic clock, in steps of arrival. */
  nowUs(): number {
    return arrivalUs(Number((process.hrtime.bigint() - this.#startNs) / 1000n));
  }

  /** @throws DwellmarkError (`gauge`): no such port, no permission, in use. */
  async open(): Promise<void> {
    this.#startNs = process.hrtime.bigint();
    try {
      this.#attach(await this.#openOnce());
    } catch (cause) {
      throw await openError(this.#settings.path, cause instanceof Error ? cause : new Error(String(cause)));
    }
    this.#identity = await deviceIdentity(this.#settings.path, this.#lister);
  }

  async close(): Promise<void> {
    this.#handOnPile();
    this.#closed = true;
    clearTimeout(this.#retry);
    clearInterval(this.#watch);
    const port = this.#port;
    this.#port = undefined;
    if (port?.isOpen) await new Promise<void>((resolve) => port.close(() => resolve()));
  }

  pause(): void {
    this.#port?.pause();
  }

  resume(): void {
    this.#port?.resume();
  }

  /** Sends bytes; false when the device is gone just now. */
  write(bytes: Buffer): boolean {
    if (!this.#port?.isOpen) return false;
    this.#port.write(bytes);
    return true;
  }

  async #openOnce(): Promise<SerialPort> {
    const { SerialPort } = await import('serialport');
    const port = new SerialPort({ ...this.#settings, autoOpen: false });
    await new Promise<void>((resolve, reject) => port.open((error) => (error ? reject(error) : resolve())));
    readWhenReady(port);
    return port;
  }

  #attach(port: SerialPort): void {
    this.#port = port;
    this.#readUpToUs = this.nowUs();
    port.on('data', (piece: Buffer) => this.#take(piece));
    port.on('error', () => this.#lost(port));
    port.on('close', () => this.#lost(port));
    clearInterval(this.#watch);
    void nodeOf(this.#settings.path).then((node) => {
      if (this.#port === port) this.#watch = setInterval(() => void this.#look(port, node), lookEveryMs).unref();
    });
  }

  #take(piece: Buffer): void {
    const timeUs = this.nowUs();
    const sinceUs = this.#readUpToUs;
    this.#readUpToUs = timeUs;
    if (this.#piledUp) {
      this.#piledUp.pieces.push(piece);
      if (piece.length >= largeBytes) this.#piledUp.timer.refresh();
    } else if (timeUs - sinceUs <= heldUpUs) this.#listener.bytes(piece, timeUs);
    else this.#piledUp = { pieces: [piece], sinceUs, timer: setTimeout(() => this.#handOnPile(), pileMs) };
  }

  #handOnPile(): void {
    if (!this.#piledUp) return;
    const { pieces, sinceUs, timer } = this.#piledUp;
    clearTimeout(timer);
    this.#piledUp = undefined;
    this.#listener.bytes(Buffer.concat(pieces), this.#readUpToUs, sinceUs);
  }

  /**
   * Looks whether the device is still there. What could go wrong without it: a read that was under way when the cable
   * was pulled returns no bytes again and again, and the port library never says that the port has died.
   */
  async #look(port: SerialPort, node: string): Promise<void> {
    const nowUs = this.nowUs();
    // The port is read before this comes: what had arrived by now has been handed on then.
    setImmediate(() => {
      this.#readUpToUs = Math.max(this.#readUpToUs, nowUs);
    });
    if (process.platform !== 'win32' && (await nodeOf(this.#settings.path)) !== node) this.#lost(port);
  }

  #lost(port: SerialPort): void {
    if (this.#closed || this.#port !== port) return;
    this.#handOnPile();
    this.#port = undefined;
    clearInterval(this.#watch);
    if (port.isOpen) port.close(() => {});
    const { path } = this.#settings;
    this.#listener.fault(faultAt(this.nowUs(), 'unplugged', `the device at ${path} is gone: look at cable and power`));
    this.#tryAgain();
  }

  #tryAgain(): void {
    this.#retry = setTimeout(() => void this.#reopen(), reopenEveryMs);
  }

  async #reopen(): Promise<void> {
    const port = await this.#openOnce().catch(() => undefined);
    if (!port) {
      if (!this.#closed) this.#tryAgain();
      return;
    }
    const identity = await deviceIdentity(this.#settings.path, this.#lister).catch(() => null);
    if (this.#closed) {
      port.close(() => {});
      return;
    }
    this.#listener.fault(this.#welcome(identity));
    this.#attach(port);
    this.#listener.reopened();
  }

  #welcome(identity: string | null): GaugeFault {
    const { path } = this.#settings;
    const at = this.nowUs();
    if (identity !== this.#identity && identity !== null && this.#identity !== null)
      return faultAt(at, 'other-device', `another device answers at ${path}: ${identity}, not ${this.#identity}`);
    if (identity === null)
      return faultAt(at, 'replugged', `a device is back at ${path}: check its serial; its zero may have moved`, 'warn');
    return faultAt(at, 'replugged', `the device is back at ${path}: its zero may have moved`, 'warn');
  }
}

/** Which file of the system stands behind a port's name just now; empty when there is none. */
async function nodeOf(path: string): Promise<string> {
  const about = await stat(path).catch(() => undefined);
  return about ? `${about.dev}:${about.ino}:${about.rdev}` : '';
}
