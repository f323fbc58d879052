import { remark } from '../output.js';
import { type FoundGauge, type GaugeAddOptions, lineKeys, sayTry } from './found-gauge.js';
import { knownBefore, shapeOf } from './shape-keys.js';

const usualBaud = { dataBits: 8, parity: 'none', stopBits: 1 } as const;

/** Listens to a gauge that talks by itself. Null when nothing that can be read came. */
export async function talkingGauge(path: string, options: GaugeAddOptions): Promise<FoundGauge | null> {
  const { listenForGauge, usualLineSettings } = await import('../../../drivers/serial/index.js');
  const { baud } = options;
  const heard = await listenForGauge(path, {
    lineSettings: baud === undefined ? usualLineSettings : [{ ...usualBaud, baudRate: baud }],
    known: knownBefore(options),
    onSlow: () => remark('  something speaks slowly here: listening for longer ...'),
    onTry: sayTry('listening'),
  });
  if (!heard?.proposal) return null;
  const { keys, ...shape } = await shapeOf(heard.proposal, heard.lines, options);
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
