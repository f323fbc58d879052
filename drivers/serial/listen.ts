import { type Capture, fewestLines, type KnownBefore, looksLikeText, readCapture } from '../../src/gauge/index.js';
import type { PortSettings } from './port-settings.js';
import { SerialLine } from './serial-line.js';

type LineSetting = Omit<PortSettings, 'path'>;

const eightNone = { dataBits: 8, parity: 'none', stopBits: 1 } as const;
const sevenEven = { dataBits: 7, parity: 'even', stopBits: 1 } as const;

/** Line settings met on gauges, the likeliest first. Common practice, no source. */
export const usualLineSettings: readonly LineSetting[] = [
  { baudRate: 9600, ...eightNone },
  { baudRate: 19_200, ...eightNone },
  { baudRate: 115_200, ...eightNone },
  { baudRate: 38_400, ...eightNone },
  { baudRate: 4800, ...eightNone },
  { baudRate: 57_600, ...eightNone },
  { baudRate: 9600, ...sevenEven },
  { baudRate: 2400, ...eightNone },
  { baudRate: 4800, ...sevenEven },
  { baudRate: 2400, ...sevenEven },
];

/** An unknown gauge heard and understood. */
export interface HeardGauge extends Capture {
  readonly line: LineSetting;
}

/**
 * Listens at the usual line settings, one after the other, until lines make sense: at each for `listenMs`, less when
 * twelve lines have come, and longer while what has come is text but not lines enough: many gauges, and most probes,
 * send once a second or less. Undefined when the gauge says nothing that can be read: perhaps it wants to be asked.
 * @throws DwellmarkError (`gauge`) when the port does not open, (`input`) for a pattern or unit that can't be.
 */
export async function listenForGauge(
  path: string,
  options: {
    readonly listenMs?: number;
    readonly known?: KnownBefore;
    readonly lineSettings?: readonly LineSetting[];
    /** Called before each try, for whoever shows progress. */
    readonly onTry?: (line: LineSetting) => void;
    /** Called when it listens longer than usual. */
    readonly onSlow?: () => void;
  } = {},
): Promise<HeardGauge | undefined> {
  for (const line of options.lineSettings ?? usualLineSettings) {
    options.onTry?.(line);
    const bytes = await listen({ path, ...line }, options.listenMs ?? 1500, options.onSlow);
    const capture = readCapture(bytes, options.known);
    if (capture?.proposal) return { ...capture, line };
  }
  return undefined;
}

const enoughLines = 12;
const mostBytes = 16_384;
/** Lines enough of a gauge that sends every five seconds come within this, ms. */
const patientMs = 26_000;

/** Text, but too few whole lines to tell what they are. */
const wantsMore = (heard: Buffer): boolean =>
  looksLikeText(heard) && (readCapture(heard)?.lines.length ?? 0) < fewestLines;

async function listen(settings: PortSettings, listenMs: number, onSlow?: () => void): Promise<Buffer> {
  const pieces: Buffer[] = [];
  let enough = (): void => {};
  let ends = 0;
  let size = 0;
  let slow = false;
  const port = new SerialLine(settings, {
    bytes: (piece) => {
      pieces.push(piece);
      size += piece.length;
      for (const byte of piece) if (byte === 0x0a || byte === 0x0d) ends += 1;
      if (ends > 2 * enoughLines || size > mostBytes || (slow && !wantsMore(Buffer.concat(pieces)))) enough();
    },
    fault: () => {},
    reopened: () => {},
  });
  await port.open();
  const enoughWithin = (ms: number): Promise<void> =>
    new Promise((resolve) => {
      const timer = setTimeout(resolve, ms);
      enough = () => {
        clearTimeout(timer);
        resolve();
      };
    });
  await enoughWithin(listenMs);
  slow = wantsMore(Buffer.concat(pieces));
  if (slow) {
    onSlow?.();
    await enoughWithin(patientMs);
  }
  await port.close();
  return Buffer.concat(pieces);
}
