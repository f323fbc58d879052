import type { HeardGauge } from '../../../drivers/serial/index.js';
import { type GaugeEntry, loadDriver } from '../../bench/index.js';
import { remark } from '../output.js';
import { gaugeScale, readingText } from '../report/gauge-text.js';
import { eachItem, saysNothing } from './gauge-read.js';

/** A gauge heard, with a shape that fits its lines. */
export interface HeardProposal extends HeardGauge {
  readonly proposal: NonNullable<HeardGauge['proposal']>;
}

const shown = 10;
const rawWidth = 36;

/**
 * Reads the gauge as it would be read from now on, and shows ten readings, each beside its raw line.
 * @param step one step of the digits sent, in the unit on the wire.
 * @throws DwellmarkError (`gauge`) when the lines are no readings, (`input`) for a setting that can't be.
 */
export async function showTenReadings(line: GaugeEntry['line'], step: number): Promise<void> {
  const driver = (await loadDriver('ascii-stream', null)).create(line);
  const { channels, source, unit } = await driver.open();
  remark(`${source}, pattern ${String(line.pattern)}, unit ${unit}`);
  const scale = gaugeScale(unit, step, String(line.oil_unit ?? 'C'));
  let raw = '';
  let count = 0;
  const outcome = await eachItem(driver, (item) => {
    if (item.kind === 'line' && item.accepted) raw = item.text;
    if (item.kind === 'fault') remark(`${item.fault.effect}: ${item.fault.text}`);
    if (item.kind !== 'reading') return true;
    remark(`  ${JSON.stringify(raw).padEnd(rawWidth)}  ${readingText(item.reading, scale, channels)}`);
    count += 1;
    return count < shown;
  });
  if (outcome.silent) throw saysNothing(String(line.path), outcome.lastBadLine);
}
