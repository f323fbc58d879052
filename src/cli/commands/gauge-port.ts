import { type FoundPort, listPorts } from '../../../drivers/serial/index.js';
import { DwellmarkError } from '../../units/index.js';
import { choose } from '../ask.js';
import { remark } from '../output.js';

/** The port of a new gauge: the only one there is, or the one chosen. @throws DwellmarkError (`gauge`) when there is none. */
export async function choosePort(asksNothing: boolean): Promise<string> {
  const ports = await listPorts();
  const [first, ...others] = ports;
  if (first === undefined)
    throw new DwellmarkError('gauge', 'no serial port was found', {
      advice: 'Plug the gauge in and check its adapter, or name the port with --path.',
    });
  if (others.length === 0) {
    remark(`The only port is ${portText(first)}.`);
    return steadiest(first);
  }
  if (asksNothing)
    throw new DwellmarkError('usage', `there are ${ports.length} serial ports`, {
      advice: `Name one with --path: ${ports.map(({ path }) => path).join(', ')}.`,
    });
  const chosen = await choose('Which port is the gauge on?', ports.map(portText), '--path');
  return steadiest(ports.find((port) => portText(port) === chosen) ?? first);
}

/** A name that does not move when ports are renumbered, where there is one. */
const steadiest = (port: FoundPort): string => port.steadyPath ?? port.path;

/** A port and what the system knows of the device behind it. */
export function portText({ path, maker, adapterSerial, vendorId, productId }: FoundPort): string {
  const usb = vendorId !== undefined && productId !== undefined ? `${vendorId}:${productId}` : undefined;
  const about = [maker, adapterSerial, usb].filter((part) => part !== undefined);
  return `${path}${about.length > 0 ? `  ${about.join(', ')}` : ''}`;
}
