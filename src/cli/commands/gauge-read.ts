import { findShop, instrumentOfShop, openGauge, type ShopGauge, type ShopProbe } from '../../bench/index.js';
import {
  type GaugeDescription,
  type GaugeFault,
  type Reading,
  readTemperatureUnit,
  type SeenSignal,
  seenSignal,
} from '../../gauge/index.js';
import { spell, unitSystems, valueIn } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { remark, say, sayJson, spellAll } from '../output.js';
import { beatText, probeScale, probeText, readingText, scaleOf, seenText } from '../report/gauge-text.js';
import { eachItem, saysNothing } from '../set-up/each-item.js';

export interface GaugeReadOptions extends CommonOptions {
  readonly count?: number;
}

const countWithoutTerminal = 10;
/** So many readings are looked at for rate and noise while it runs on. */
const lookedAt = 200;

/**
 * `dwellmark gauge read`: what the gauge says just now, with its rate, jitter, noise and resolution as seen. On a
 * terminal one line that lives until Ctrl-C; with `--count`, or with no terminal, a line a reading.
 */
export async function run(serial: string, options: GaugeReadOptions): Promise<void> {
  const shop = findShop(options.shop);
  const known = instrumentOfShop(shop, serial);
  const { spec } = known;
  const inPlace = options.count === undefined && !options.json && process.stdout.isTTY === true;
  const count = options.count ?? (inPlace ? Number.POSITIVE_INFINITY : countWithoutTerminal);
  const { driver, description } = await openGauge(spec, known, shop);
  const close = (): void => void driver.close();
  process.once('SIGINT', close);
  const words = wordsFor(known, description.channels);
  const readings: Reading[] = [];
  const faults: GaugeFault[] = [];
  remark(`${spec.serial}: ${description.source}${inPlace ? '; Ctrl-C ends' : ''}`);
  const outcome = await eachItem(driver, (item) => {
    if (item.kind === 'fault') {
      faults.push(item.fault);
      const text = spell(item.fault.text, unitSystems[shop.units]);
      remark(`${inPlace ? '\r\u001b[K' : ''}${item.fault.effect}: ${text}`);
    }
    if (item.kind !== 'reading') return true;
    readings.push(item.reading);
    if (inPlace && readings.length > lookedAt) readings.shift();
    const text = words.reading(item.reading);
    if (inPlace) process.stdout.write(`\r\u001b[K${text}   ${words.seen(words.signal(readings), null)}`);
    else if (!options.json) say(`${(item.reading.timeUs / 1e6).toFixed(3).padStart(9)} s  ${text}`);
    return readings.length < count;
  });
  process.off('SIGINT', close);
  if (outcome.silent) throw saysNothing(serial, outcome.lastBadLine);
  const seen = words.signal(readings);
  if (options.json) {
    const told = spellAll(faults, unitSystems[shop.units]);
    return sayJson({ gauge: serial, source: description.source, readings, faults: told, seen });
  }
  say(`${inPlace ? '\n' : ''}${words.seen(seen, isProbe(known) ? null : known.spec.resolutionPa)}`);
}

const isProbe = (known: ShopGauge | ShopProbe): known is ShopProbe => !('rangeHighPa' in known.spec);

/** How an instrument is spoken of: a gauge by its pressure, a probe by its temperature and beat. */
function wordsFor(known: ShopGauge | ShopProbe, channels: GaugeDescription['channels']) {
  if (isProbe(known)) {
    const unit = readTemperatureUnit(String(known.settings.oil_unit ?? 'C')) ?? 'C';
    const { resolutionK } = known.spec;
    const step = resolutionK === undefined ? 0.01 : valueIn(resolutionK, 'temperature-difference', unit);
    return {
      reading: (reading: Reading) => probeText(reading, probeScale(unit, step)),
      signal: (readings: readonly Reading[]) => ({
        ...seenSignal(readings),
        withoutValue: readings.filter(({ oilK }) => oilK === null).length,
      }),
      seen: (seen: SeenSignal) => beatText(seen),
    };
  }
  const scale = scaleOf(known.spec);
  return {
    reading: (reading: Reading) => readingText(reading, scale, channels),
    signal: seenSignal,
    seen: (seen: SeenSignal, statedPa: number | null) => seenText(seen, scale, statedPa),
  };
}
