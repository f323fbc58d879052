import path from 'node:path';
import { pathToFileURL } from 'node:url';
import type { DriverModule } from '../gauge/index.js';
import { DwellmarkError } from '../units/index.js';

/** The drivers that come with dwellmark; each is loaded only when a gauge asks for it. */
const shipped: Readonly<Record<string, () => Promise<{ readonly driver: DriverModule }>>> = {
  'ascii-stream': () => import('../../drivers/ascii-stream/index.js'),
  'ascii-poll': () => import('../../drivers/ascii-poll/index.js'),
  'modbus-rtu': () => import('../../drivers/modbus-rtu/index.js'),
  'modbus-tcp': async () => ({ driver: (await import('../../drivers/modbus-rtu/index.js')).tcpDriver }),
  'log-file': () => import('../../drivers/log-file/index.js'),
  simulated: () => import('../../drivers/simulated/index.js'),
};

/** Names of the shipped drivers. */
export const driverNames: readonly string[] = Object.keys(shipped);

/**
 * Loads a driver by its name, or a shop's own from a module (`./our-gauge.mjs`, taken from the shop file's folder)
 * that exports `driver`.
 * @throws DwellmarkError (`input`) when there is no such driver or the module exports none.
 */
export async function loadDriver(name: string, shopFolder: string | null): Promise<DriverModule> {
  const known = Object.hasOwn(shipped, name) ? shipped[name] : undefined;
  if (known) return (await known()).driver;
  if (!/\.m?js$/.test(name))
    throw new DwellmarkError('input', `there is no driver "${name}"`, {
      place: { key: 'driver' },
      advice: `Known: ${driverNames.join(', ')}. A driver of your own is named by its file, "./our-gauge.mjs".`,
    });
  const file = path.resolve(shopFolder ?? process.cwd(), name);
  const module: unknown = await import(pathToFileURL(file).href).catch((cause: unknown) => {
    throw new DwellmarkError('input', `the driver ${file} could not be loaded: ${String(cause)}`, { place: { file } });
  });
  if (typeof module === 'object' && module !== null && 'driver' in module && isDriverModule(module.driver))
    return module.driver;
  throw new DwellmarkError('input', `${file} exports no driver`, {
    place: { file },
    advice: 'It must export `driver` with a name, a summary and create(settings).',
  });
}

const isDriverModule = (value: unknown): value is DriverModule =>
  typeof value === 'object' && value !== null && 'create' in value && typeof value.create === 'function';
