import { setTimeout as sleep } from 'node:timers/promises';
import type { GaugeItem, Reading } from '../../../src/gauge/index.js';
import { FaultyLine, type LineFault } from './line-faults.js';
import type { LineShape } from './line-shape.js';
import type { PtyPair } from './pty-pair.js';

/** A line that left the instrument, for comparison with what arrived. */
export interface SentLine {
  /** Time of its reading on the instrument's clock. */
  readonly timeUs: number;
  readonly text: string;
  readonly reading: Reading;
}

export interface SerialVoiceOptions {
  readonly shape: LineShape;
  readonly faults?: readonly LineFault[];
  /** The line's speed: bytes leave no faster than ten bits a byte; absent: as fast as they are taken. */
  readonly baud?: number;
  /** Called after each line that was sent. */
  readonly onSent?: (line: SentLine) => void;
}

/**
 * Speaks the readings of a simulated gauge as lines over a pseudo-terminal, at the pace at which they come. Ends when
 * they end, or with the plug pulled.
 * @returns every line sent, in order
 */
export async function speak(
  items: AsyncIterable<GaugeItem>,
  port: Pick<PtyPair, 'write' | 'close'>,
  options: SerialVoiceOptions,
): Promise<readonly SentLine[]> {
  const line = new FaultyLine(options.shape, options.faults ?? []);
  const sent: SentLine[] = [];
  const startedMs = performance.now();
  let freeAtMs = 0;
  // A listener takes nothing before the first terminator for a whole line.
  await port.write(new TextEncoder().encode(options.shape.terminator));
  for await (const item of items) {
    if (item.kind !== 'reading') continue;
    const sending = line.send(item.reading);
    if (sending.kind === 'unplug') {
      port.close();
      return sent;
    }
    if (sending.kind === 'nothing') continue;
    if (options.baud !== undefined) {
      const waitMs = freeAtMs - (performance.now() - startedMs);
      if (waitMs > 1) await sleep(waitMs);
      freeAtMs = Math.max(freeAtMs, performance.now() - startedMs) + (sending.bytes.length * 10_000) / options.baud;
    }
    await port.write(sending.bytes);
    const spoken = {
      timeUs: item.reading.timeUs,
      text: new TextDecoder('latin1').decode(sending.bytes),
      reading: item.reading,
    };
    sent.push(spoken);
    options.onSent?.(spoken);
  }
  return sent;
}
