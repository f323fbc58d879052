import { driver as asciiPoll } from '../../../drivers/ascii-poll/index.js';
import { driver as asciiStream } from '../../../drivers/ascii-stream/index.js';
import { driver as logFile } from '../../../drivers/log-file/index.js';
import { driver as modbusRtu } from '../../../drivers/modbus-rtu/index.js';
import { driver as simulated } from '../../../drivers/simulated/index.js';
import type { DriverModule } from '../../../src/gauge/index.js';
import type { DriverCheck } from './rules.js';

const pressuresPa = [25_000_000, 24_990_000, null, 24_980_000];

/** The answers 250, 249.5, NaN, 249.25 as float32; CRC from a bitwise calculation apart from the driver's table. */
const modbusAnswers = ['010304437a0000ce6e', '010304437980005fae', '0103047fc00000e3db', '010304437940000fae'].map(
  (frame) => Buffer.from(frame, 'hex'),
);

const simulatedSettings = { scenario: 'tight', port: 'A', seed: 3, speed: 0 };

/** What another simulated gauge of the same seed reads first: chance comes from the seed alone. */
async function simulatedPressures(count: number): Promise<readonly (number | null)[]> {
  const gauge = simulated.create(simulatedSettings);
  await gauge.open();
  const pressures: (number | null)[] = [];
  for await (const item of gauge.items()) {
    if (item.kind === 'reading') pressures.push(item.reading.pressurePa);
    if (pressures.length === count) break;
  }
  await gauge.close();
  return pressures;
}

/** How to try each shipped driver. */
export const shipped: readonly { readonly module: DriverModule; readonly how: DriverCheck }[] = [
  {
    module: asciiStream,
    how: {
      settings: (path) => ({ path, pattern: '{pressure} {unit}', unit: 'bar' }),
      instrument: {
        kind: 'talks',
        bytes: Buffer.from('9.9 bar\r\n250.0 bar\r\n249.9 bar\r\n---- bar\r\n249.8 bar\r\n249'),
      },
      pressuresPa,
    },
  },
  {
    module: asciiPoll,
    how: {
      settings: (path) => ({
        path,
        request: '?\r',
        pattern: '{pressure}',
        unit: 'bar',
        terminator: '\r',
        rate_per_s: 50,
        timeout_ms: 5000,
      }),
      instrument: {
        kind: 'answers',
        late: { afterMs: 200, settings: { timeout_ms: 200 } },
        answer: (_, count) => Buffer.from(`${['9.9', '250.0', '249.9', '----'][count - 1] ?? '249.8'}\r`),
      },
      pressuresPa,
    },
  },
  {
    module: modbusRtu,
    how: {
      settings: (path) => ({
        path,
        address: 1,
        unit: 'bar',
        pressure: { register: 0 },
        rate_per_s: 50,
        timeout_ms: 5000,
      }),
      instrument: {
        kind: 'answers',
        late: { afterMs: 200, settings: { timeout_ms: 200 } },
        answer: (_, count) => modbusAnswers[Math.min(count, 4) - 1] ?? null,
      },
      pressuresPa: [25_000_000, 24_950_000, null, 24_925_000],
    },
  },
  {
    module: logFile,
    how: {
      settings: (path) => ({ path }),
      instrument: { kind: 'file', text: 'time_s,pressure_bar\n0,250.0\n0.1,249.9\n0.2,OL\n0.3,249.8\n' },
      pressuresPa,
    },
  },
  {
    module: simulated,
    how: {
      settings: () => simulatedSettings,
      instrument: { kind: 'none' },
      pressuresPa: await simulatedPressures(500),
    },
  },
];
