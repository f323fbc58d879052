import { DwellmarkError } from '../../units/index.js';
import { remark } from '../output.js';
import { type FoundGauge, type GaugeAddOptions, given, lineKeys, sayTry } from './found-gauge.js';
import { shapeKeys } from './shape-keys.js';

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
  const { settings, unitSeen, step } = heard.proposal;
  return {
    driver: 'ascii-stream',
    step,
    line: {
      path,
      ...lineKeys(heard.line),
      ...(heard.terminator === '\n' ? {} : { terminator: heard.terminator }),
      ...shapeKeys(settings, options.pattern, await unitOf(settings.unit, unitSeen, options)),
    },
  };
}

/** The unit in the lines, or the one on the display when they carry none. */
export async function unitOf(proposed: string, seen: boolean, options: GaugeAddOptions): Promise<string> {
  if (seen || options.unit !== undefined) return proposed;
  remark('The lines carry no unit.');
  if (options.yes)
    throw new DwellmarkError('usage', 'the lines carry no unit', { advice: 'Give it with --unit, for example psi.' });
  return given(undefined, { question: 'Unit on the display of the gauge', option: '--unit', preset: proposed });
}
