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

/** What the port library says of a port; beyond its path all of it may be missing. */
interface ListedPort {
  readonly path: string;
  readonly pnpId?: string | undefined;
  readonly manufacturer?: string | undefined;
  readonly serialNumber?: string | undefined;
  readonly vendorId?: string | undefined;
  readonly productId?: string | undefined;
}

/** The serial ports of this computer; built-in ones that no device is known behind come last. */
export const listPorts: PortLister = async () => {
  const { SerialPort } = await import('serialport');
  const listed = await SerialPort.list().catch(() => undefined);
  return listed ? foundPorts(listed) : portsByName();
};

/** The ports as a person is to name them, in the order of {@link listPorts}. */
export function foundPorts(listed: readonly ListedPort[], platform = process.platform): readonly FoundPort[] {
  const ports = listed.map(
    (port): FoundPort => ({
      path: callOutName(port.path, platform),
      ...(port.pnpId && port.path.startsWith('/dev/') ? { steadyPath: `/dev/serial/by-id/${port.pnpId}` } : {}),
      ...(port.manufacturer ? { maker: port.manufacturer } : {}),
      ...(port.serialNumber ? { adapterSerial: port.serialNumber } : {}),
      ...(port.vendorId ? { vendorId: port.vendorId } : {}),
      ...(port.productId ? { productId: port.productId } : {}),
    }),
  );
  const known = (port: FoundPort): number => (port.vendorId === undefined ? 1 : 0);
  return ports.sort((a, b) => known(a) - known(b) || a.path.localeCompare(b.path));
}

/**
 * The name to open a port by. macOS gives each port two: the port library lists the dial-in one, `/dev/tty.*`, whose
 * opening waits for a carrier that no gauge gives; the call-out one, `/dev/cu.*`, opens at once.
 * @example callOutName('/dev/tty.usbserial-14', 'darwin') // '/dev/cu.usbserial-14'
 */
export const callOutName = (path: string, platform = process.platform): string =>
  platform === 'darwin' ? path.replace(/^\/dev\/tty\./, '/dev/cu.') : path;

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
export async function deviceIdentity(
  path: string,
  lister: PortLister,
  platform = process.platform,
): Promise<string | null> {
  const real = await realpath(path).catch(() => path);
  const names = [real, path].map((name) => callOutName(name, platform));
  const found = (await lister()).find((port) => names.includes(port.path));
  if (!found || found.vendorId === undefined) return null;
  return [found.vendorId, found.productId ?? '', found.adapterSerial ?? ''].join(':');
}
