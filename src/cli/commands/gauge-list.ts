import { findShop } from '../../bench/index.js';
import { DwellmarkError } from '../../units/index.js';
import { say, sayJson } from '../output.js';
import type { CommonOptions } from '../program.js';

/** `dwellmark gauge list`: serial ports with what the system knows of them, and the gauges in the shop file. */
export async function run(options: CommonOptions): Promise<void> {
  const { SerialPort } = await import('serialport');
  const ports = await SerialPort.list();
  const known = gaugesIfShop(options.shop);
  if (options.json) return sayJson({ ports, gauges: known });
  if (ports.length === 0) say('No serial port was found. Plug the gauge in, and check its adapter.');
  for (const { path, manufacturer, serialNumber, vendorId, productId } of ports) {
    const about = [manufacturer, serialNumber, vendorId && productId ? `${vendorId}:${productId}` : undefined].filter(
      Boolean,
    );
    say(`${path}${about.length > 0 ? `  ${about.join(', ')}` : ''}`);
  }
  for (const { spec, driver, settings } of known) {
    const due = spec.calibration === undefined ? 'no calibration on file' : `calibration due ${spec.calibration.due}`;
    say(
      `gauge ${spec.serial}: ${[spec.maker, spec.model].filter(Boolean).join(' ')} ${driver}${settings.path === undefined ? '' : ` on ${settings.path}`}, ${due}`,
    );
  }
}

function gaugesIfShop(given: string | undefined) {
  try {
    return findShop(given).gauges;
  } catch (error) {
    if (error instanceof DwellmarkError && error.code === 'usage' && given === undefined) return [];
    throw error;
  }
}
