import { afterEach, describe, expect, it } from 'vitest';
import { type AsciiStreamSettings, createAsciiStream } from '../../../drivers/ascii-stream/index.js';
import type { PortLister } from '../../../drivers/serial/index.js';
import type { GaugeDriver } from '../../../src/gauge/index.js';
import { Collected } from '../collect.js';
import { Cable, inPieces, sleep } from '../pty.js';

const open: { driver: GaugeDriver; cable: Cable }[] = [];

async function start(settings: Partial<AsciiStreamSettings> = {}, lister?: PortLister) {
  const cable = await Cable.lay();
  const driver = createAsciiStream(
    { path: cable.path, pattern: '{pressure} {unit}', unit: 'bar', ...settings },
    lister,
  );
  open.push({ driver, cable });
  const description = await driver.open();
  return { cable, driver, description, seen: new Collected(driver) };
}

afterEach(async () => {
  for (const { driver, cable } of open.splice(0)) {
    await driver.close();
    await cable.unplug();
  }
});

describe('a gauge that talks by itself', () => {
  it('is described as a person would say it', async () => {
    const { description, cable } = await start({ baudRate: 19200, parity: 'even', maker: 'Calder Rams', ratePerS: 10 });
    expect(description).toEqual({
      driver: 'ascii-stream',
      source: `${cable.path} at 19200 baud 8E1`,
      unit: 'bar',
      maker: 'Calder Rams',
      ratePerS: 10,
      channels: { opposite: false, oil: false },
    });
  });

  it.each([1, 2, 7, 10_000])('reads the same values from pieces of %i bytes', async (size) => {
    const { cable, seen } = await start({ pattern: '{pressure} {unit} {oil} {oil_unit}' });
    const values = Array.from({ length: 25 }, (_, index) => 250 - index / 10);
    const text = `3.1 bar 2\r\n${values.map((value) => `${value.toFixed(1)} bar  21.5 \u00b0C\r\n`).join('')}`;
    for (const piece of inPieces(Buffer.from(text, 'latin1'), size)) await cable.send(piece);
    await seen.until(() => seen.readings.length === values.length);
    expect(seen.pressuresPa).toEqual(values.map((value) => Math.round(value * 1e5)));
    expect(new Set(seen.readings.map((reading) => reading.oilK))).toEqual(new Set([294.65]));
    expect(seen.faults).toEqual([]);
    const times = seen.readings.map((reading) => reading.timeUs);
    expect(times).toEqual([...new Set(times)].sort((a, b) => a - b));
  });

  it('never reads the first line, which may have lost its beginning', async () => {
    const { cable, seen } = await start();
    await cable.send('53.7 bar\r\n253.6 bar\r\n');
    await seen.until(() => seen.readings.length === 1);
    expect(seen.lines).toEqual([
      { text: '53.7 bar', accepted: false },
      { text: '253.6 bar', accepted: true },
    ]);
    expect(seen.pressuresPa).toEqual([25_360_000]);
  });

  it('reads from the first byte when a bare line end came before it', async () => {
    const { cable, seen } = await start();
    await cable.send('\r\n253.7 bar\r\n');
    await seen.until(() => seen.readings.length === 1);
    expect(seen.pressuresPa).toEqual([25_370_000]);
  });

  it('never hands on a last line that was cut off, neither at the end nor by the plug', async () => {
    const { cable, seen, driver } = await start({ pattern: '{pressure}' });
    await cable.send('\r\n345.10\r\n345.12');
    await seen.until(() => seen.readings.length === 1);
    await cable.unplug();
    await seen.until(() => seen.faults.some((fault) => fault.code === 'unplugged'));
    await driver.close();
    await seen.done;
    expect(seen.pressuresPa).toEqual([34_510_000]);
  });

  it('tells of lines that do not fit once, and their number when they are over; keeps their raw text, and reads on', async () => {
    const { cable, seen } = await start();
    await cable.send('\r\n1.0 bar\r\nE#!x\r\n1.1 bar 9\r\n1,2 bar\r\n1.3 bar\r\n');
    await seen.until(() => seen.readings.length === 2);
    expect(seen.pressuresPa).toEqual([100_000, 130_000]);
    expect(seen.faults).toHaveLength(1);
    await cable.send('1.3 bar\r\n'.repeat(19));
    await seen.until(() => seen.readings.length === 21);
    expect(seen.faults.map(({ code, text }) => [code, text])).toEqual([
      ['bad-line', 'the line "E#!x" does not fit the pattern {pressure} {unit}'],
      ['bad-line', 'over: 3 lines could not be read'],
    ]);
    expect(seen.lines.filter((line) => !line.accepted).map((line) => line.text)).toEqual([
      'E#!x',
      '1.1 bar 9',
      '1,2 bar',
    ]);
  });

  it('survives a megabyte without a line end, and says so', async () => {
    const { cable, seen } = await start();
    await cable.send('\r\n');
    const noise = Buffer.alloc(65_536, 0x37);
    for (let piece = 0; piece < 16; piece++) await cable.send(noise);
    await cable.send('\r\n7.0 bar\r\n');
    await seen.until(() => seen.readings.length === 1);
    expect(seen.pressuresPa).toEqual([700_000]);
    expect(seen.faults[0]?.text).toContain('is longer than a line of this gauge can be');
    expect(seen.lines[0]?.text.length).toBeLessThan(130);
  });

  it('stops reading values when the gauge is switched to another unit', async () => {
    const { cable, seen } = await start();
    await cable.send('\r\n250.0 bar\r\n3626 psi\r\n3626 psi\r\n249.9 bar\r\n');
    await seen.until(() => seen.readings.length === 4);
    expect(seen.pressuresPa).toEqual([25_000_000, null, null, 24_990_000]);
    expect(seen.faults[0]).toMatchObject({
      code: 'unit-changed',
      effect: 'void',
      text: 'the gauge sends psi, but bar is set',
    });
  });

  it('tells the plug pulled and put back, and goes on reading', async () => {
    const { cable, seen } = await start();
    await cable.send('\r\n1.0 bar\r\n');
    await seen.until(() => seen.readings.length === 1);
    await cable.unplug();
    await seen.until(() => seen.faults.length === 1);
    await cable.plugIn();
    await seen.until(() => seen.faults.length === 2);
    await sleep(20);
    await cable.send('2.0 bar\r\n3.0 bar\r\n');
    await seen.until(() => seen.readings.length === 2);
    expect(seen.pressuresPa).toEqual([100_000, 300_000]);
    expect(seen.faults.map(({ code, effect }) => [code, effect])).toEqual([
      ['unplugged', 'void'],
      ['replugged', 'warn'],
    ]);
  });

  it('does not take another adapter under the same name for the one that went', async () => {
    let adapterSerial = 'A1';
    let path = '';
    const lister: PortLister = async () => [{ path, vendorId: '0403', productId: '6001', adapterSerial }];
    const { cable, seen } = await start({}, async () => {
      path = open.at(-1)?.cable.path ?? '';
      return lister();
    });
    await cable.unplug();
    await seen.until(() => seen.faults.length === 1);
    adapterSerial = 'B2';
    await cable.plugIn();
    await seen.until(() => seen.faults.length === 2);
    expect(seen.faults[1]).toMatchObject({ code: 'other-device', effect: 'void' });
    expect(seen.faults[1]?.text).toContain('0403:6001:B2, not 0403:6001:A1');
  });

  it('does not take its own being held up for a silence of the gauge', async () => {
    const { cable, seen } = await start();
    await cable.send('\r\n1.0 bar\r\n1.0 bar\r\n');
    await seen.until(() => seen.readings.length === 2);
    // The system goes on writing while this program does nothing at all.
    void cable.send('1.0 bar\r\n'.repeat(25));
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 1500);
    await seen.until(() => seen.readings.length === 27);
    const times = seen.readings.slice(1).map((reading) => reading.timeUs);
    const gaps = times.slice(1).map((timeUs, index) => timeUs - (times[index] ?? 0));
    expect(Math.max(...gaps)).toBeLessThan(300_000);
    expect(Math.min(...gaps)).toBeGreaterThan(30_000);
  });

  it('ends a running iteration when it is closed, twice or not', async () => {
    const { driver, seen } = await start();
    await driver.close();
    await driver.close();
    await seen.done;
    expect(seen.items).toEqual([]);
  });
});

describe('opening', () => {
  it('says that there is no such port', async () => {
    const driver = createAsciiStream({ path: '/dev/ttyNoGauge9', pattern: '{pressure}', unit: 'bar' });
    await expect(driver.open()).rejects.toMatchObject({
      code: 'gauge',
      message: 'there is no serial port /dev/ttyNoGauge9',
      advice: 'Is the gauge plugged in? "dwellmark gauge list" shows the ports.',
    });
  });

  it('says that another program has the port', async () => {
    const { cable } = await start();
    const second = createAsciiStream({ path: cable.path, pattern: '{pressure}', unit: 'bar' });
    await expect(second.open()).rejects.toMatchObject({
      code: 'gauge',
      message: `${cable.path} is in use by another program`,
    });
  });

  it('says that a file is no serial port', async () => {
    const driver = createAsciiStream({ path: import.meta.filename, pattern: '{pressure}', unit: 'bar' });
    await expect(driver.open()).rejects.toMatchObject({ code: 'gauge', place: { key: 'path' } });
  });

  it.each([
    [{ pattern: '{presure}', unit: 'bar' }, 'pattern', /unknown part "presure"/],
    [{ pattern: '{unit}', unit: 'bar' }, 'pattern', /no part for the pressure/],
    [{ pattern: '{pressure}', unit: 'psia' }, 'unit', /"psia" is not a unit/],
    [{ pattern: '{pressure}', unit: 'bar', parity: 'odds' }, 'parity', /parity/],
    [{ pattern: '{pressure}', unit: 'bar', baud_rate: '9600' }, 'baud_rate', /baud_rate/],
    [{ pattern: '{pressure}', unit: 'bar', boud: 1 }, 'boud', /no setting "boud"/],
    [{ unit: 'bar' }, 'pattern', /needs the setting "pattern"/],
    [{ pattern: '{pressure}', unit: 'bar', checksum: 'xor' }, 'checksum', /no \{checksum\}/],
  ])('refuses the settings %o', (settings, key, message) => {
    const make = () => createAsciiStream({ path: '/dev/ttyX', ...settings } as AsciiStreamSettings);
    expect(make).toThrow(message);
    expect(make).toThrow(expect.objectContaining({ code: 'input', place: { key } }));
  });
});
