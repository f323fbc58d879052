import { type GaugeDescription, type GaugeDriver, supervised, supervisionLimits } from '../gauge/index.js';

import type { GaugeSpec } from '../procedure/index.js';
import { DwellmarkError } from '../units/index.js';
import { loadDriver } from './drivers.js';
import type { Prepared } from './prepare.js';
import type { Shop, ShopGauge } from './shop.js';

/** A gauge on its line, open and under supervision. */
export interface LiveGauge {
  readonly driver: GaugeDriver;
  readonly description: GaugeDescription;
  /** Whether real oil stands behind it. */
  readonly origin: 'live' | 'simulated';
}

/** What a test says of its gauge. */
export type GaugeWanted = Pick<Prepared, 'gauge' | 'shopGauge'>;

/**
 * Opens the gauge that a prepared test names, as the shop file says it is read.
 * @throws DwellmarkError (`input`) when the shop file does not say, (`gauge`) when it can't be opened or is another one.
 */
export async function openLiveGauge(prepared: GaugeWanted, shop: Shop): Promise<LiveGauge> {
  const known = howItIsRead(prepared, shop);
  const module = await loadDriver(known.driver, shop.folder);
  const driver = supervised(module.create(known.settings), (told) => limitsOf(prepared.gauge, told), { live: true });
  const description = await driver.open();
  if (description.serial !== undefined && description.serial !== prepared.gauge.serial) {
    await driver.close();
    throw new DwellmarkError(
      'gauge',
      `the instrument says that it is ${description.serial}; the job asks for ${prepared.gauge.serial}`,
      { place: { key: 'gauge' }, advice: 'Connect the gauge of the job, or name the connected one in the job file.' },
    );
  }
  return { driver, description, origin: known.simulated || known.driver === 'simulated' ? 'simulated' : 'live' };
}

/** A gauge that the job itself describes is read as the shop file says for the same serial. */
function howItIsRead(prepared: GaugeWanted, shop: Shop): ShopGauge {
  const { serial } = prepared.gauge;
  const known = prepared.shopGauge ?? shop.gauges.find(({ spec }) => spec.serial === serial);
  if (known) return known;
  throw new DwellmarkError('input', `nothing says how gauge ${serial} is read`, {
    place: { file: shop.file, key: 'gauge' },
    advice: 'Add it with `dwellmark gauge add`, or write a [[gauge]] table with its driver and line settings.',
  });
}

const limitsOf = (spec: GaugeSpec, told: GaugeDescription) =>
  supervisionLimits({ ...spec, ...(told.ratePerS === undefined ? {} : { ratePerS: told.ratePerS }) });
