import { type ChildProcess, execFile, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterEach, describe, expect, it } from 'vitest';
import { createAsciiStream } from '../../drivers/ascii-stream/index.js';
import { createModbusRtu } from '../../drivers/modbus-rtu/index.js';
import { ModbusDevice, modbusMap } from '../../drivers/simulated/index.js';
import { pressurePa, temperatureK } from '../../src/gauge/index.js';
import { Collected } from '../drivers/collect.js';
import { Cable, sleep } from '../drivers/pty.js';

/**
 * Independent programs at the other end of the line: python3-serial talks through a socat pair, python3-pymodbus answers
 * the program's Modbus driver, and it and mbpoll ask the program's simulated device (all of Debian).
 */
const closing: (() => unknown)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

function started(command: string, args: readonly string[]): ChildProcess {
  const child = spawn(command, args, { stdio: 'ignore' });
  closing.push(
    () =>
      new Promise<void>((resolve) => {
        child.on('exit', () => resolve());
        if (child.exitCode !== null || !child.kill()) resolve();
      }),
  );
  return child;
}

/** Two serial ports with a cable between them, laid by socat. */
async function socatPair(): Promise<{ readonly near: string; readonly far: string }> {
  const folder = mkdtempSync(join(tmpdir(), 'dwellmark-socat-'));
  closing.push(() => rmSync(folder, { recursive: true, force: true }));
  const [near, far] = [join(folder, 'near'), join(folder, 'far')];
  started('socat', [`pty,raw,echo=0,link=${near}`, `pty,raw,echo=0,link=${far}`]);
  for (let waited = 0; !(existsSync(near) && existsSync(far)); waited += 1) {
    if (waited > 200) throw new Error('socat laid no cable');
    await sleep(25);
  }
  return { near, far };
}

const talker = `
import sys, time, serial
port = serial.Serial(sys.argv[1], 9600)
time.sleep(1)
for k in range(50):
    port.write(("%.1f bar\\r\\n" % (250 - k / 10)).encode("ascii"))
    port.flush()
    time.sleep(0.02)
time.sleep(30)
`;

const asker = `
import json, struct, sys
from pymodbus.client import ModbusSerialClient
client = ModbusSerialClient(port=sys.argv[1], baudrate=19200, parity="N", timeout=2)
assert client.connect()
out = []
for read in (client.read_holding_registers, client.read_input_registers):
    words = read(0, 4, slave=1).registers
    out.append([struct.unpack(">f", struct.pack(">HH", *words[:2]))[0], words[2], words[3]])
print(json.dumps(out))
`;

/** A device of its own: 253.7 bar as a float in both orders of words, 215 tenths, and registers of functions 3 and 4 apart. */
const answerer = `
import struct, sys
from pymodbus.datastore import ModbusSequentialDataBlock, ModbusServerContext, ModbusSlaveContext
from pymodbus.server import StartSerialServer
from pymodbus.transaction import ModbusRtuFramer
def words(bar):
    high, low = struct.unpack(">HH", struct.pack(">f", bar))
    return [high, low, low, high, 215]
device = ModbusSlaveContext(hr=ModbusSequentialDataBlock(0, words(253.7)), ir=ModbusSequentialDataBlock(0, words(12.5)),
    zero_mode=True)
StartSerialServer(context=ModbusServerContext(slaves=device, single=True), framer=ModbusRtuFramer, port=sys.argv[1],
    baudrate=19200, parity="N")
`;

describe('python3-serial talks', () => {
  it('and every line but the first, which may have lost its beginning, is a reading', async () => {
    const { near, far } = await socatPair();
    const driver = createAsciiStream({ path: near, pattern: '{pressure} {unit}', unit: 'bar' });
    await driver.open();
    closing.push(() => driver.close());
    const seen = new Collected(driver);
    started('/usr/bin/python3', ['-c', talker, far]);
    await seen.until(() => seen.readings.length === 49, 30_000);
    expect(seen.pressuresPa).toEqual(Array.from({ length: 49 }, (_, k) => Math.round((250 - (k + 1) / 10) * 1e5)));
    expect(seen.faults).toEqual([]);
  });
});

describe('python3-pymodbus answers', () => {
  it.each([
    [3, 0, 'ABCD', 253.7],
    [4, 2, 'CDAB', 12.5],
  ] as const)(
    'and the driver reads by function %i, register %i in %s: %f bar and 21.5 °C',
    async (by, register, wordOrder, bar) => {
      const { near, far } = await socatPair();
      started('/usr/bin/python3', ['-c', answerer, far]);
      const driver = createModbusRtu({
        path: near,
        parity: 'none',
        address: 1,
        function: by,
        unit: 'bar',
        pressure: { register, wordOrder },
        oil: { register: 4, type: 'int16', scale: 0.1 },
        timeoutMs: 2000,
      });
      await driver.open();
      closing.push(() => driver.close());
      const seen = new Collected(driver);
      const read = () => seen.readings.filter(({ pressurePa }) => pressurePa !== null);
      await seen.until(() => read().length >= 5, 30_000);
      for (const { pressurePa: pa, oilK } of read()) {
        expect((pa ?? 0) / 1e5).toBeCloseTo(bar, 4);
        expect(oilK).toBeCloseTo(294.65, 9);
      }
    },
  );
});

/** The program's simulated device, address 1, that shows 253.7 bar and 21.5 °C. */
async function shownDevice(): Promise<string> {
  const cable = await Cable.lay();
  closing.push(() => cable.unplug());
  const wire = {
    write: (bytes: Uint8Array) => cable.send(bytes),
    onBytes: (on: (b: Buffer) => void) => cable.onBytes(on),
  };
  const device = new ModbusDevice(wire, { address: 1, unit: 'bar' });
  device.show({ pressurePa: pressurePa(25_370_000), oilK: temperatureK(294.65) });
  return cable.path;
}

const run = promisify(execFile);

describe('python3-pymodbus asks', () => {
  it('and the simulated device answers 253.7 bar, 215 tenths and status 0 by functions 3 and 4', async () => {
    const { stdout } = await run('/usr/bin/python3', ['-c', asker, await shownDevice()]);
    const answers = JSON.parse(stdout) as number[][];
    expect(answers).toHaveLength(2);
    for (const [pressure = 0, tenths, status] of answers) {
      expect(pressure).toBeCloseTo(253.7, 4);
      expect([tenths, status]).toEqual([215, 0]);
    }
  });
});

describe('mbpoll asks by MODBUS application protocol V1.1b3, 6.3 and 6.4', () => {
  it('and the simulated device answers 253.7 bar and 215 tenths by functions 3 and 4', async () => {
    const path = await shownDevice();
    const asked = async (type: string, register: number): Promise<string> => {
      const args = ['-m', 'rtu', '-a', '1', '-b', '19200', '-P', 'none', '-0', '-1', '-r', String(register)];
      return (await run('mbpoll', [...args, '-c', '1', '-B', '-t', type, path])).stdout;
    };
    for (const table of ['3', '4']) {
      expect(await asked(`${table}:float`, modbusMap.pressure)).toMatch(/\[0\]:\s+253\.7/);
      expect(await asked(table, modbusMap.oil)).toMatch(/\[2\]:\s+215/);
    }
  });
});
