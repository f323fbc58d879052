import { loadDriver } from '../../bench/index.js';
import type { Reading } from '../../gauge/index.js';
import { DwellmarkError, spell, type UnitSystem } from '../../units/index.js';
import { remark } from '../output.js';
import { gaugeScale, probeScale, probeText, readingText } from '../report/gauge-text.js';
import { eachItem, saysNothing } from '../set-up/each-item.js';
import type { FoundGauge } from '../set-up/found-gauge.js';

const shown = 10;
const rawWidth = 36;

/**
 * Reads the gauge as it would be read from now on, and shows ten readings, each beside what came over the wire.
 * @param demandValue one of them at least must have a value: nobody looks at them.
 * @throws DwellmarkError (`gauge`) when that is no reading, (`input`) for a setting that can't be.
 */
export async function showTenReadings(
  { driver: name, measures, line, step }: FoundGauge,
  { demandValue, system }: { readonly demandValue: boolean; readonly system: UnitSystem },
): Promise<void> {
  const driver = (await loadDriver(name, null)).create(line);
  const { channels, source, unit } = await driver.open();
  const [oilUnit, isProbe] = [String(line.oil_unit ?? 'C'), measures === 'oil'];
  const pattern = line.pattern === undefined ? '' : `, pattern ${String(line.pattern)}`;
  remark(`${source}${pattern}, unit ${isProbe ? oilUnit : unit}`);
  const textOf = (reading: Reading): string =>
    isProbe
      ? probeText(reading, probeScale(oilUnit, step ?? 0.01))
      : readingText(reading, gaugeScale(unit, step ?? 0.001, oilUnit), channels);
  let raw = '';
  let count = 0;
  let values = 0;
  const outcome = await eachItem(driver, (item) => {
    if (item.kind === 'line' && item.accepted) raw = item.text;
    if (item.kind === 'fault') remark(`${item.fault.effect}: ${spell(item.fault.text, system)}`);
    if (item.kind !== 'reading') return true;
    remark(`  ${JSON.stringify(raw).padEnd(rawWidth)}  ${textOf(item.reading)}`);
    count += 1;
    values += (isProbe ? item.reading.oilK : item.reading.pressurePa) === null ? 0 : 1;
    return count < shown;
  });
  if (outcome.silent) throw saysNothing(String(line.path), outcome.lastBadLine);
  if (demandValue && values === 0)
    throw new DwellmarkError('gauge', 'none of these readings has a value', {
      advice: 'Bring the gauge into its range, or add it without --yes and compare with its display.',
    });
}
