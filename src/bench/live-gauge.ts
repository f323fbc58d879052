import {
  type ChannelDuties,
  type GaugeDescription,
  type GaugeDriver,
  mergedGauges,
  supervised,
  supervisionLimits,
} from '../gauge/index.js';
import { type GaugeInTest, type GaugeSpec, gaugeAt, gaugesInTest, type TestPlan } from '../procedure/index.js';
import { DwellmarkError } from '../units/index.js';
import { loadDriver } from './drivers.js';
import type { ReadHow, Shop } from './shop.js';

/** The gauge of a test on its line, or several read as one, open and under supervision. */
export interface LiveGauge {
  readonly driver: GaugeDriver;
  readonly description: GaugeDescription;
  /** Whether real oil stands behind it. */
  readonly origin: 'live' | 'simulated';
  /** Tells which port is under test now, by its place in the plan. */
  turnTo(port: number): void;
}

/**
 * Opens every gauge that a plan names, as the shop file says they are read.
 * @throws DwellmarkError (`input`) when the shop file does not say, (`gauge`) when one can't be opened or is another.
 */
export async function openGaugesOf(plan: TestPlan, shop: Shop): Promise<LiveGauge> {
  const gauges = gaugesInTest(plan);
  const [only, ...others] = gauges;
  if (only?.spec && others.length === 0)
    return { ...(await openGauge(only.spec, howItIsRead(only.serial, shop), shop)), turnTo: () => {} };
  const read = gauges.map(({ serial }) => howItIsRead(serial, shop));
  const onLine = await Promise.all(
    gauges.map(async ({ serial, spec }, index) => ({
      serial,
      driver: await watched(spec, read[index] ?? howItIsRead(serial, shop), shop),
    })),
  );
  const driver = mergedGauges(onLine, dutiesOf(plan));
  const description = await driver.open();
  const main = plan.ports[0] === undefined ? plan.gauge.serial : gaugeAt(plan, plan.ports[0]).serial;
  await demandSerials(driver, main, description);
  const simulated = read.some((one) => isSimulated(one));
  return { driver, description, origin: simulated ? 'simulated' : 'live', turnTo: (port) => driver.turnTo(port) };
}

/** Opens one gauge. @throws DwellmarkError (`gauge`) when it can't be opened or is another one. */
export async function openGauge(
  spec: GaugeSpec | { readonly serial: string },
  how: ReadHow,
  shop: Shop,
): Promise<Omit<LiveGauge, 'turnTo'>> {
  const driver = await watched('rangeHighPa' in spec ? spec : null, how, shop);
  const description = await driver.open();
  await demandSerials(driver, spec.serial, description);
  return { driver, description, origin: isSimulated(how) ? 'simulated' : 'live' };
}

const isSimulated = ({ simulated, driver }: ReadHow): boolean => simulated || driver === 'simulated';

async function watched(spec: GaugeSpec | null, how: ReadHow, shop: Shop): Promise<GaugeDriver> {
  const module = await loadDriver(how.driver, shop.folder);
  return supervised(module.create(how.settings), (told) => limitsOf(spec, told), { live: true });
}

/** A probe has no pressure to look at: of its readings only the beat is watched. */
const noPressure = { rangeLowPa: -1e12, rangeHighPa: 1e12, resolutionPa: 1 };

const limitsOf = (spec: GaugeSpec | null, told: GaugeDescription) =>
  supervisionLimits({ ...(spec ?? noPressure), ...(told.ratePerS === undefined ? {} : { ratePerS: told.ratePerS }) });

/** How an instrument is read, by its serial: a gauge that the job itself describes too. */
function howItIsRead(serial: string, shop: Shop): ReadHow {
  const known = [...shop.gauges, ...shop.probes].find(({ spec }) => spec.serial === serial);
  if (known) return known;
  throw new DwellmarkError('input', `nothing says how gauge ${serial} is read`, {
    place: { file: shop.file, key: 'gauge' },
    advice: 'Add it with `dwellmark gauge add`, or write a [[gauge]] table with its driver and line settings.',
  });
}

function dutiesOf(plan: TestPlan): ChannelDuties[] {
  return plan.ports.map((port) => ({
    pressure: gaugeAt(plan, port).serial,
    opposite: port.oppositeGauge?.serial ?? null,
    oil: plan.oilProbe?.serial ?? null,
  }));
}

/** Each instrument that knows its serial must be the one the job asks for. */
async function demandSerials(driver: GaugeDriver, asked: string, description: GaugeDescription): Promise<void> {
  const all: readonly (readonly [string, GaugeInTest['serial'] | undefined])[] = [
    [asked, description.serial],
    ...(description.others ?? []).map((other) => [other.gauge, other.description.serial] as const),
  ];
  for (const [wanted, found] of all) {
    if (found === undefined || found === wanted) continue;
    await driver.close();
    throw new DwellmarkError('gauge', `the instrument says that it is ${found}; the job asks for ${wanted}`, {
      place: { key: 'gauge' },
      advice: 'Connect the gauge of the job, or name the connected one in the job file.',
    });
  }
}
