import { readdir, realpath } from 'node:fs/promises';

/** A serial port and what the system knows of the device behind it. */
export interface FoundPort {
  readonly path: string;
  /** A name that stays when ports are renumbered, where the system has one. */
  readonly steadyPath?: string;
  readonly maker?: string;
  /** Serial number of the USB adapter or device, not of the gauge. */
  readonly adapterSerial?: string;
  readonly vendorId?: string;
  readonly productId?: string;
}

export type PortLister = () => Promise<readonly FoundPort[]>;

/** The serial ports of this computer; built-in ones that no device is known behind come last. */
export const listPorts: PortLister = async () => {
  const { SerialPort } = await import('serialport');
  const listed = await SerialPort.list().catch(() => undefined);
  if (!listed) return portsByName();
  const ports = listed.map(
    (port): FoundPort => ({
      path: port.path,
      ...(port.pnpId && port.path.startsWith('/dev/') ? { steadyPath: `/dev/serial/by-id/${port.pnpId}` } : {}),
      ...(port.manufacturer ? { maker: port.manufacturer } : {}),
      ...(port.serialNumber ? { adapterSerial: port.serialNumber } : {}),
      ...(port.vendorId ? { vendorId: port.vendorId } : {}),
      ...(port.productId ? { productId: port.productId } : {}),
    }),
  );
  const known = (port: FoundPort): number => (port.vendorId === undefined ? 1 : 0);
  return ports.sort((a, b) => known(a) - known(b) || a.path.localeCompare(b.path));
};

/** Where the system keeps no register of devices (a Linux without udev), the names alone. */
async function portsByName(): Promise<readonly FoundPort[]> {
  const names = await readdir('/dev').catch(() => []);
  return names
    .filter((name) => /^(?:tty(?:USB|ACM|AMA)\d+|cu\.usb.*)$/.test(name))
    .sort()
    .map((name) => ({ path: `/dev/${name}` }));
}

/**
 * What tells one adapter from another, or null when the system knows nothing of it. A path is no identity: ports are
 * handed out in the order of plugging in.
 */
export async function deviceIdentity(path: string, lister: PortLister): Promise<string | null> {
  const real = await realpath(path).catch(() => path);
  const found = (await lister()).find((port) => port.path === real || port.path === path);
  if (!found || found.vendorId === undefined) return null;
  return [found.vendorId, found.productId ?? '', found.adapterSerial ?? ''].join(':');
}
