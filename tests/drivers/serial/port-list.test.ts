import { describe, expect, it } from 'vitest';
import { callOutName, deviceIdentity, foundPorts } from '../../../drivers/serial/port-list.js';

describe('a port is named as it is to be opened', () => {
  it.each<[platform: NodeJS.Platform, listed: string, named: string]>([
    ['darwin', '/dev/tty.usbserial-1420', '/dev/cu.usbserial-1420'],
    ['darwin', '/dev/tty.usbmodem14201', '/dev/cu.usbmodem14201'],
    ['darwin', '/dev/tty.Bluetooth-Incoming-Port', '/dev/cu.Bluetooth-Incoming-Port'],
    ['darwin', '/dev/cu.usbserial-1420', '/dev/cu.usbserial-1420'],
    // A pseudo-terminal there has one name.
    ['darwin', '/dev/ttys004', '/dev/ttys004'],
    ['linux', '/dev/ttyUSB0', '/dev/ttyUSB0'],
    ['linux', '/dev/tty.ours', '/dev/tty.ours'],
    ['win32', 'COM3', 'COM3'],
  ])('%s lists %s: %s', (platform, listed, named) => {
    expect(callOutName(listed, platform)).toBe(named);
    expect(foundPorts([{ path: listed }], platform)).toEqual([{ path: named }]);
  });
});

const adapter = { manufacturer: 'Keld', serialNumber: 'K-77', vendorId: '1a2b', productId: '0001' };
const asListed = [
  { path: '/dev/tty.Bluetooth-Incoming-Port' },
  { path: '/dev/tty.usbserial-2', ...adapter },
  { path: '/dev/tty.usbserial-1', ...adapter, serialNumber: 'K-76' },
];

it('those with a device behind them come first, and macOS has no steadier name for them', () => {
  expect(foundPorts(asListed, 'darwin')).toEqual([
    { path: '/dev/cu.usbserial-1', maker: 'Keld', adapterSerial: 'K-76', vendorId: '1a2b', productId: '0001' },
    { path: '/dev/cu.usbserial-2', maker: 'Keld', adapterSerial: 'K-77', vendorId: '1a2b', productId: '0001' },
    { path: '/dev/cu.Bluetooth-Incoming-Port' },
  ]);
});

it.each<[platform: NodeJS.Platform, listed: string, pnpId: string, steady: string | undefined]>([
  ['linux', '/dev/ttyUSB0', 'usb-Keld_K-77-if00-port0', '/dev/serial/by-id/usb-Keld_K-77-if00-port0'],
  ['win32', 'COM3', 'USB\\VID_1A2B', undefined],
])('%s, %s: a name that stays when ports are renumbered', (platform, path, pnpId, steadyPath) => {
  expect(foundPorts([{ path, pnpId }], platform)[0]?.steadyPath).toBe(steadyPath);
});

it.each([
  ['/dev/cu.usbserial-1', '1a2b:0001:K-76'],
  // As an older shop file may name it.
  ['/dev/tty.usbserial-1', '1a2b:0001:K-76'],
  ['/dev/cu.usbserial-9', null],
  ['/dev/cu.Bluetooth-Incoming-Port', null],
])('the device behind %s is %s', async (path, identity) => {
  const lister = async () => foundPorts(asListed, 'darwin');
  expect(await deviceIdentity(path, lister, 'darwin')).toBe(identity);
});
