import { afterEach, describe, expect, it } from 'vitest';
import { driver as asciiPoll } from '../../../drivers/ascii-poll/index.js';
import { driver as asciiStream } from '../../../drivers/ascii-stream/index.js';
import { driver as modbusRtu } from '../../../drivers/modbus-rtu/index.js';
import type { DriverModule } from '../../../src/gauge/index.js';
import { Collected } from '../collect.js';
import { Cable } from '../pty.js';

const closing: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

type Settings = Readonly<Record<string, unknown>>;

interface ProbeCase {
  readonly module: DriverModule;
  /** All but the path: no unit of a pressure among them. */
  readonly settings: Settings;
  /** The same with a channel that is a pressure. */
  readonly pressureToo: Settings;
  /** What the probe says to 37.5 degrees, whether it was asked or not. */
  readonly says: Buffer;
}

const probes: readonly ProbeCase[] = [
  {
    module: asciiStream,
    settings: { pattern: 'T={oil} {oil_unit}' },
    pressureToo: { pattern: 'T={oil} C {pressure}' },
    says: Buffer.from('T=37.5 C\r\nT=37.5 C\r\n'),
  },
  {
    module: asciiPoll,
    settings: { request: '?\r', pattern: '{oil}', terminator: '\r' },
    pressureToo: { pattern: '{oil} {opposite}' },
    says: Buffer.from('37.5\r'),
  },
  {
    module: modbusRtu,
    settings: { address: 1, oil: { register: 4, type: 'int16', scale: 0.1 } },
    pressureToo: { opposite: { register: 0 } },
    says: Buffer.from('0103020177f9f2', 'hex'),
  },
];

describe.each(probes.map((probe) => [probe.module.name, probe] as const))('an oil probe on %s', (name, probe) => {
  const { module, settings, pressureToo, says } = probe;

  it.each<[what: string, more: Settings]>([
    ['needs no unit of a pressure', {}],
    ['may have one all the same', { unit: 'psi' }],
  ])('%s', async (_, more) => {
    const cable = await Cable.lay();
    closing.push(() => cable.unplug());
    const driver = module.create({ path: cable.path, ...settings, ...more });
    closing.push(() => driver.close());
    const description = await driver.open();
    expect(description).toMatchObject({ unit: more.unit ?? 'C', channels: { opposite: false, oil: true } });
    const seen = new Collected(driver);
    if (name === 'ascii-stream') {
      const talk = setInterval(() => void cable.send(says).catch(() => undefined), 20);
      closing.push(async () => clearInterval(talk));
    } else cable.onBytes(() => void cable.send(says));
    await seen.until(() => seen.readings.length >= 6);
    expect(new Set(seen.readings.map(({ pressurePa, oilK }) => `${pressurePa} ${oilK}`))).toEqual(
      new Set(['null 310.65']),
    );
    expect(seen.faults).toEqual([]);
  });

  it('needs the unit as soon as a pressure is read', () => {
    const make = (more: Settings) => () => module.create({ path: '/dev/ttyX', ...settings, ...pressureToo, ...more });
    expect(make({})).toThrow(expect.objectContaining({ code: 'input', place: { key: 'unit' } }));
    expect(make({})).toThrow(/unit.*is not set/);
    expect(make({ unit: 'bar' })).not.toThrow();
  });

  it("tells where a temperature's unit belongs", () => {
    expect(() => module.create({ path: '/dev/ttyX', ...settings, unit: 'C' })).toThrow(
      expect.objectContaining({ place: { key: 'unit' }, advice: expect.stringContaining('oil_unit') }),
    );
  });
});

it.each([
  [asciiStream, { pattern: 'T={skip} C' }, 'pattern', /has no part for the pressure or the oil temperature/],
  [asciiPoll, { request: '?\r', pattern: '{opposite}' }, 'pattern', /has no part for the pressure or the oil temp/],
  [modbusRtu, { address: 1, status: { register: 0, good: [0] } }, 'pressure', /the pressure, or of the oil temp/],
] as const)('neither pressure nor oil temperature is an error: %o %o', (module, settings, key, says) => {
  const make = () => module.create({ path: '/dev/ttyX', ...settings });
  expect(make).toThrow(expect.objectContaining({ code: 'input', place: { key } }));
  expect(make).toThrow(says);
});

describe('a probe that says it is not well gives no temperature', () => {
  it.each<[DriverModule, Settings, Buffer]>([
    [
      modbusRtu,
      { address: 1, oil: { register: 4, type: 'int16' }, status: { register: 4, good: [0] } },
      probes[2]?.says ?? Buffer.of(),
    ],
    [asciiPoll, { request: '?\r', pattern: '{oil} {status}', terminator: '\r' }, Buffer.from('37.5 HOLD\r')],
  ])('%o', async (module, settings, says) => {
    const cable = await Cable.lay();
    closing.push(() => cable.unplug());
    const driver = module.create({ path: cable.path, ...settings });
    closing.push(() => driver.close());
    await driver.open();
    const seen = new Collected(driver);
    cable.onBytes(() => void cable.send(says));
    await seen.until(() => seen.readings.length >= 2);
    expect(seen.readings.map(({ oilK }) => oilK)).not.toContain(310.65);
    expect(new Set(seen.readings.map(({ oilK }) => oilK))).toEqual(new Set([null]));
    expect(seen.faults.length).toBe(1);
  });
});
