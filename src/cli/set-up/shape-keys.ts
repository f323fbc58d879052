import type { GaugeEntry } from '../../bench/index.js';
import { compilePattern, type LineProposal } from '../../gauge/index.js';
import { DwellmarkError } from '../../units/index.js';
import { remark } from '../output.js';
import { type FoundGauge, type GaugeAddOptions, given } from './found-gauge.js';

/** What the lines are read as: what was proposed, or the pattern that was given; the unit is asked where none is seen. */
export async function shapeOf(
  { settings, measures, unitSeen, step }: LineProposal,
  options: GaugeAddOptions,
): Promise<Pick<FoundGauge, 'measures' | 'step'> & { readonly keys: GaugeEntry['line'] }> {
  const { pattern = settings.pattern } = options;
  const { parts } = compilePattern(pattern, settings.checksum === 'crc16' ? 4 : 2);
  const read = options.pattern === undefined ? measures : parts.has('pressure') ? 'pressure' : 'oil';
  if (read === 'oil') remark('No pressure stands in the lines: it is read as an oil temperature probe.');
  const unit = read === 'oil' ? settings.unit : await unitOf(settings.unit, unitSeen, options);
  const { oilUnit, decimal, checksum } = settings;
  const keys = {
    pattern,
    unit,
    ...(oilUnit === undefined || !parts.has('oil') ? {} : { oil_unit: oilUnit }),
    ...(decimal === undefined ? {} : { decimal }),
    ...(checksum === undefined || !parts.has('checksum') ? {} : { checksum }),
  };
  return { measures: read, step, keys };
}

/** The unit in the lines, or the one on the display when they carry none. */
async function unitOf(proposed: string, seen: boolean, { unit, yes }: GaugeAddOptions): Promise<string> {
  if (seen || unit !== undefined) return proposed;
  remark('The lines carry no unit.');
  if (yes)
    throw new DwellmarkError('usage', 'the lines carry no unit', { advice: 'Give it with --unit, for example psi.' });
  return given(undefined, { question: 'Unit on the display of the gauge', option: '--unit', preset: proposed });
}
