import { createRequire } from 'node:module';
import { createServer } from 'node:net';
import { Cable } from './pty.js';

interface ModbusServer {
  on(event: 'initialized', listener: () => void): void;
  close(done: () => void): void;
}
const { ServerSerial, ServerTCP } = createRequire(import.meta.url)('modbus-serial') as {
  ServerSerial: new (device: object, options: object) => ModbusServer;
  ServerTCP: new (device: object, options: object) => ModbusServer;
};

/** Registers of a device, as counted on the wire, and what is in them. */
export type ModbusMap = ReadonlyMap<number, number>;

function deviceOf(map: () => ModbusMap, functions: readonly (3 | 4)[]) {
  const get = (at: number): number => {
    const value = map().get(at);
    if (value === undefined) throw Object.assign(new Error('no such register'), { modbusErrorCode: 2 });
    return value;
  };
  return {
    ...(functions.includes(3) ? { getHoldingRegister: get } : {}),
    ...(functions.includes(4) ? { getInputRegister: get } : {}),
  };
}

/** The same on a network, by Modbus TCP. */
export async function modbusDeviceOnNetwork(map: () => ModbusMap, functions: readonly (3 | 4)[]) {
  const port = await freePort();
  const server = new ServerTCP(deviceOf(map, functions), { host: '127.0.0.1', port, unitID: 7 });
  await new Promise<void>((resolve) => server.on('initialized', resolve));
  return { path: `127.0.0.1:${port}`, close: () => new Promise<void>((resolve) => server.close(resolve)) };
}

/** A port of this computer that nobody uses just now. */
const freePort = (): Promise<number> =>
  new Promise((resolve) => {
    const probe = createServer().listen(0, '127.0.0.1', () => {
      const address = probe.address();
      probe.close(() => resolve(typeof address === 'object' && address ? address.port : 0));
    });
  });

/**
 * An independent Modbus device, address 7, answering on a serial port of its own with a cable between the two ports; it
 * knows no other registers than those of its map.
 */
export async function modbusDeviceOnCable(map: () => ModbusMap, functions: readonly (3 | 4)[]) {
  const [near, far] = [await Cable.lay(), await Cable.lay()];
  near.onBytes((bytes) => void far.send(bytes).catch(() => undefined));
  far.onBytes((bytes) => void near.send(bytes).catch(() => undefined));
  const server = new ServerSerial(deviceOf(map, functions), { path: far.path, baudRate: 19_200, unitID: 7 });
  await new Promise<void>((resolve) => server.on('initialized', resolve));
  const close = async (): Promise<void> => {
    await new Promise<void>((resolve) => server.close(resolve));
    await Promise.all([near.unplug(), far.unplug()]);
  };
  return { cable: near, close };
}

/** A float32 in two registers, its high word first. */
export const floatWords = (value: number): [high: number, low: number] => {
  const bytes = Buffer.alloc(4);
  bytes.writeFloatBE(value);
  return [bytes.readUInt16BE(0), bytes.readUInt16BE(2)];
};
