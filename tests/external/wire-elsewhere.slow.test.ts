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
 * Independent programs at the other end of the line: python3-serial talks through a socat pair, pymodbus answers the
 * program's Modbus driver, and mbpoll asks the program's simulated device (all of Debian).
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

const answerer = `
import sys, struct
from pymodbus.datastore import ModbusSequentialDataBlock, ModbusSlaveContext, ModbusServerContext
from pymodbus.server import StartSerialServer
from pymodbus.transaction import ModbusRtuFramer
high, low = struct.unpack(">HH", struct.pack(">f", 253.7))
block = ModbusSequentialDataBlock(0, [high, low, 215, 0])
context = ModbusServerContext(slaves={7: ModbusSlaveContext(hr=block, ir=block, zero_mode=True)}, single=False)
StartSerialServer(context, framer=ModbusRtuFramer, port=sys.argv[1], baudrate=19200, timeout=0.05)
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

describe('pymodbus answers', () => {
  it.each([3, 4] as const)('and the driver reads 253.7 bar and 21.5 °C by function %i', async (code) => {
    const { near, far } = await socatPair();
    started('/usr/bin/python3', ['-c', answerer, far]);
    await sleep(2500);
    const driver = createModbusRtu({
      path: near,
      baudRate: 19_200,
      parity: 'none',
      address: 7,
      function: code,
      unit: 'bar',
      pressure: { register: 0 },
      oil: { register: 2, type: 'int16', scale: 0.1 },
      timeoutMs: 1000,
    });
    await driver.open();
    closing.push(() => driver.close());
    const seen = new Collected(driver);
    await seen.until(() => seen.readings.length >= 5, 30_000);
    for (const { pressurePa: pa, oilK } of seen.readings) {
      expect(pa).toBe(25_370_000);
      expect(oilK).toBeCloseTo(294.65, 9);
    }
  });
});

describe('mbpoll asks', () => {
  it('and the simulated device answers 253.7 bar and 215 tenths by functions 3 and 4', async () => {
    const cable = await Cable.lay();
    closing.push(() => cable.unplug());
    const device = new ModbusDevice(
      { write: (bytes) => cable.send(bytes), onBytes: (on) => cable.onBytes(on) },
      { address: 1, unit: 'bar' },
    );
    device.show({ pressurePa: pressurePa(25_370_000), oilK: temperatureK(294.65) });
    const asked = async (type: string, register: number): Promise<string> => {
      const args = ['-m', 'rtu', '-a', '1', '-b', '19200', '-P', 'none', '-0', '-1', '-r', String(register)];
      return (await promisify(execFile)('mbpoll', [...args, '-c', '1', '-B', '-t', type, cable.path])).stdout;
    };
    for (const table of ['3', '4']) {
      expect(await asked(`${table}:float`, modbusMap.pressure)).toMatch(/\[0\]:\s+253\.7/);
      expect(await asked(table, modbusMap.oil)).toMatch(/\[2\]:\s+215/);
    }
  });
});
