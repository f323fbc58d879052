import { loadDriver } from '../../bench/index.js';
import { remark } from '../output.js';
import { gaugeScale, readingText } from '../report/gauge-text.js';
import type { FoundGauge } from '../set-up/found-gauge.js';
import { eachItem, saysNothing } from './gauge-read.js';

const shown = 10;
const rawWidth = 36;

/**
 * Reads the gauge as it would be read from now on, and shows ten readings, each beside what came over the wire.
 * @throws DwellmarkError (`gauge`) when that is no reading, (`input`) for a setting that can't be.
 */
export async function showTenReadings({ driver: name, line, step }: Omit<FoundGauge, 'range'>): Promise<void> {
  const driver = (await loadDriver(name, null)).create(line);
  const { channels, source, unit } = await driver.open();
  remark(`${source}${line.pattern === undefined ? '' : `, pattern ${String(line.pattern)}`}, unit ${unit}`);
  const scale = gaugeScale(unit, step ?? 0.001, String(line.oil_unit ?? 'C'));
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
