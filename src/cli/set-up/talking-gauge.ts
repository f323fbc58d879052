import { type FoundGauge, type GaugeAddOptions, lineKeys, sayTry } from './found-gauge.js';
import { shapeOf } from './shape-keys.js';

const usualBaud = { dataBits: 8, parity: 'none', stopBits: 1 } as const;

/** Listens to a gauge that talks by itself. Null when nothing that can be read came. */
export async function talkingGauge(path: string, options: GaugeAddOptions): Promise<FoundGauge | null> {
  const { listenForGauge, usualLineSettings } = await import('../../../drivers/serial/index.js');
  const { baud, unit } = options;
  const heard = await listenForGauge(path, {
    lineSettings: baud === undefined ? usualLineSettings : [{ ...usualBaud, baudRate: baud }],
    ...(unit === undefined ? {} : { unit }),
    onTry: sayTry('listening'),
  });
  if (!heard?.proposal) return null;
  const { keys, ...shape } = await shapeOf(heard.proposal, options);
  return {
    driver: 'ascii-stream',
    ...shape,
    line: {
      path,
      ...lineKeys(heard.line),
      ...(heard.terminator === '\n' ? {} : { terminator: heard.terminator }),
      ...keys,
    },
  };
}
