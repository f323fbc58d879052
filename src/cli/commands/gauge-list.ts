import { realpathSync } from 'node:fs';
import { callOutName, type FoundPort, listPorts } from '../../../drivers/serial/index.js';
import {
  enteredCalibrations,
  findShop,
  type Shop,
  type ShopGauge,
  type ShopProbe,
  withCalibrationInForce,
} from '../../bench/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { say, sayJson } from '../output.js';
import { portText } from './gauge-port.js';

/** `dwellmark gauge list`: serial ports with what the system knows of them, and the gauges in the shop file. */
export async function run(options: CommonOptions): Promise<void> {
  const ports = await listPorts();
  const shop = shopIfAny(options.shop);
  const today = new Date().toISOString().slice(0, 10);
  const inForce = <One extends ShopGauge | ShopProbe>(one: One): One => ({
    ...one,
    spec: withCalibrationInForce(one.spec, enteredCalibrations(shop, one.spec.serial), today),
  });
  const gauges = (shop?.gauges ?? []).map(inForce);
  const probes = (shop?.probes ?? []).map(inForce);
  const known = [...gauges, ...probes];
  if (options.json) return sayJson({ ports, gauges, probes });
  if (ports.length === 0) say('No serial port was found. Plug the gauge in, and check its adapter.');
  for (const port of ports) {
    const here = known.find((gauge) => isOn(gauge, port));
    say(`${portText(port)}${here === undefined ? '' : `  <- gauge ${here.spec.serial}`}`);
  }
  if (shop !== null && known.length === 0)
    say('No gauge is in the shop file. `dwellmark gauge add` listens to one and adds it.');
  for (const gauge of known) say(gaugeLine(gauge, today));
}

function gaugeLine({ spec, driver, settings }: ShopGauge | ShopProbe, today: string): string {
  const named = [spec.maker, spec.model].filter((part) => part !== undefined).join(' ');
  const where = typeof settings.path === 'string' ? ` on ${settings.path}` : '';
  const { calibration } = spec;
  const state =
    calibration === undefined
      ? 'no calibration on file'
      : calibration.due < today
        ? `calibration OUT OF DATE since ${calibration.due}`
        : `calibration due ${calibration.due}`;
  const what = 'rangeHighPa' in spec ? '' : ' oil probe,';
  return `gauge ${spec.serial}:${named === '' ? '' : ` ${named},`}${what} ${driver}${where}, ${state}`;
}

/** A gauge names its port by any of its names. */
function isOn({ settings }: ShopGauge | ShopProbe, port: FoundPort): boolean {
  if (typeof settings.path !== 'string') return false;
  return [port.path, port.steadyPath].includes(settings.path) || callOutName(real(settings.path)) === port.path;
}

function real(path: string): string {
  try {
    return realpathSync(path);
  } catch {
    return path;
  }
}

function shopIfAny(given: string | undefined): Shop | null {
  try {
    return findShop(given);
  } catch (error) {
    if (error instanceof DwellmarkError && error.code === 'usage' && given === undefined) return null;
    throw error;
  }
}
