import type { GaugeDriver } from '../../../src/gauge/index.js';
import { Collected } from '../collect.js';
import { Cable, sleep } from '../pty.js';

/** How one answer goes wrong on its way. */
type Way = 'whole' | 'head' | 'tail late' | 'late' | 'twice' | 'twice apart' | 'lost' | 'noise first' | 'noise after';
const ways: readonly Way[] = [
  'head',
  'tail late',
  'late',
  'twice',
  'twice apart',
  'lost',
  'noise first',
  'noise after',
];

/** Chance from a seed alone, 0 to 1 (a 32-bit generator of Marsaglia's xorshift kind). */
export function chance(seed: number): () => number {
  let state = seed | 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}

export interface SpoiltRun {
  readonly asked: number;
  readonly spoilt: number;
  /** Pressures that were sent, Pa. */
  readonly sent: ReadonlySet<number>;
  readonly read: readonly number[];
}

/** What carries the bytes between them. */
export interface Wire {
  readonly path: string;
  onBytes(listener: (bytes: Buffer) => void): void;
  send(bytes: Uint8Array): Promise<void>;
  unplug(): Promise<void>;
}

/**
 * A driver against a device that spoils every third answer on average, until so many questions were asked.
 * @param answer the bytes of an answer and what it says; every answer says something else, and no part of it another's.
 */
export async function spoilAnswers(
  make: (path: string) => GaugeDriver,
  answer: (count: number, question: Buffer) => { readonly bytes: Buffer; readonly pressurePa: number },
  {
    asked,
    timeoutMs,
    seed,
    lay = () => Cable.lay(),
  }: {
    readonly asked: number;
    readonly timeoutMs: number;
    readonly seed: number;
    readonly lay?: () => Promise<Wire>;
  },
): Promise<SpoiltRun> {
  const next = chance(seed);
  const cable = await lay();
  const sent = new Set<number>();
  let [count, spoilt] = [0, 0];
  // A device answers in the order in which it was asked: nothing overtakes what came before.
  let line: Promise<unknown> = Promise.resolve();
  const send = (bytes: Buffer, delayMs = 0): void => {
    const atMs = performance.now() + delayMs;
    line = line.then(async () => {
      if (atMs > performance.now()) await sleep(atMs - performance.now());
      await cable.send(bytes).catch(() => {});
    });
  };
  const later = (bytes: Buffer): void => send(bytes, next() * 4 * timeoutMs);
  const noise = (): Buffer =>
    Buffer.from(Array.from({ length: 1 + Math.floor(next() * 6) }, () => Math.floor(next() * 256)));
  cable.onBytes((question) => {
    count += 1;
    const { bytes, pressurePa } = answer(count, question);
    sent.add(pressurePa);
    const way = next() < 2 / 3 ? 'whole' : (ways[Math.floor(next() * ways.length)] ?? 'lost');
    if (way !== 'whole') spoilt += 1;
    const at = 1 + Math.floor(next() * (bytes.length - 1));
    const [head, tail] = [bytes.subarray(0, at), bytes.subarray(at)];
    switch (way) {
      case 'whole':
        return send(bytes);
      case 'head':
        return send(head);
      case 'tail late':
        send(head);
        return later(tail);
      case 'late':
        return later(bytes);
      case 'twice':
        return send(Buffer.concat([bytes, bytes]));
      case 'twice apart':
        send(bytes);
        return later(bytes);
      case 'noise first':
        return send(Buffer.concat([noise(), bytes]));
      case 'noise after':
        return send(Buffer.concat([bytes, noise()]));
      case 'lost':
    }
  });
  const driver = make(cable.path);
  await driver.open();
  const seen = new Collected(driver);
  while (count < asked) await sleep(20);
  await driver.close();
  await cable.unplug();
  return { asked: count, spoilt, sent, read: seen.pressuresPa.filter((one) => one !== null) };
}
