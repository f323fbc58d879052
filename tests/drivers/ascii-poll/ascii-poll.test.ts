import { afterEach, describe, expect, it } from 'vitest';
import { type AsciiPollSettings, createAsciiPoll } from '../../../drivers/ascii-poll/index.js';
import type { GaugeDriver } from '../../../src/gauge/index.js';
import { Collected } from '../collect.js';
import { Cable } from '../pty.js';

const open: { driver: GaugeDriver; cable: Cable }[] = [];

/** A device that hears requests ended by CR and answers what `answer` says, or nothing. */
async function start(answer: (request: string, count: number) => string | null, settings: Partial<AsciiPollSettings>) {
  const cable = await Cable.lay();
  const heard: string[] = [];
  let text = '';
  cable.onBytes((bytes) => {
    text += bytes.toString('latin1');
    for (let end = text.indexOf('\r'); end !== -1; end = text.indexOf('\r')) {
      const request = text.slice(0, end);
      text = text.slice(end + 1);
      heard.push(request);
      const reply = answer(request, heard.length);
      if (reply !== null) void cable.send(reply);
    }
  });
  const driver = createAsciiPoll({
    path: cable.path,
    request: '#01\r',
    pattern: '>{pressure}',
    unit: 'bar',
    terminator: '\r',
    ratePerS: 100,
    timeoutMs: 2000,
    ...settings,
  });
  open.push({ driver, cable });
  const description = await driver.open();
  return { cable, driver, description, heard, seen: new Collected(driver) };
}

afterEach(async () => {
  for (const { driver, cable } of open.splice(0)) {
    await driver.close();
    await cable.unplug();
  }
});

describe('a gauge that is asked', () => {
  it('gives a reading for each answer, but the first', async () => {
    const { seen, description } = await start((_, count) => `>${100 + count}.5\r`, {});
    await seen.until(() => seen.readings.length >= 5);
    expect(seen.pressuresPa.slice(0, 3)).toEqual([10_250_000, 10_350_000, 10_450_000]);
    expect(description).toMatchObject({ driver: 'ascii-poll', ratePerS: 100 });
    expect(seen.faults).toEqual([]);
  });

  it('is asked with address and checksum, and its answers are checked', async () => {
    const { seen, heard } = await start((_, count) => (count === 3 ? '01+0253.738\r' : '01+0253.737\r'), {
      request: '{address}R{checksum}\r',
      requestChecksum: 'sum',
      address: '01',
      pattern: '{address}{pressure}{checksum}',
      checksum: 'xor',
    });
    await seen.until(() => seen.readings.length >= 4);
    // '0' + '1' + 'R' = 0x30 + 0x31 + 0x52 = 0xb3
    expect(heard[0]).toBe('01RB3');
    expect(new Set(seen.pressuresPa)).toEqual(new Set([25_370_000]));
    expect(seen.faults).toMatchObject([
      { code: 'checksum', text: 'the line "01+0253.738" ends with checksum 38, 37 belongs there' },
    ]);
  });

  it('does not take an answer from another address, an echo or a late answer for its own', async () => {
    const late = (count: number): string => (count === 3 ? '01>9.0\r' : '');
    const { seen } = await start(
      (request, count) => `${request}\r${count % 2 === 0 ? '02>7.0' : '01>5.0'}\r${late(count)}`,
      { address: '01', request: '#{address}\r', pattern: '{address}>{pressure}', ratePerS: 20 },
    );
    await seen.until(() => seen.readings.length >= 4);
    expect(seen.lines.filter(({ text }) => text === '01>9.0')).toMatchObject([{ accepted: false }]);
    expect(new Set(seen.pressuresPa)).toEqual(new Set([500_000]));
    expect(seen.faults.map((fault) => fault.code)).toContain('bad-line');
  });

  it('tells once that it does not answer, and never joins half an answer to the next', async () => {
    const { seen } = await start((_, count) => (count >= 4 && count <= 6 ? '>25' : '>250.0\r'), { timeoutMs: 300 });
    await seen.until(() => seen.readings.length >= 4);
    const text = 'the gauge did not answer within {seconds:0.3}';
    expect(seen.faults).toMatchObject([
      { code: 'exception', text },
      { text: `over after 3 readings: ${text}`, effect: 'note' },
    ]);
    expect(new Set(seen.pressuresPa)).toEqual(new Set([25_000_000]));
  });

  it('is not read from the tail of a late answer, nor from the answer that gets it into step again', async () => {
    const cable = await Cable.lay();
    let count = 0;
    cable.onBytes(() => {
      count += 1;
      if (count !== 3) return void cable.send(`${100 + count}.86\r`);
      void cable.send('24');
      setTimeout(() => void cable.send('9.86\r'), 700);
    });
    const driver = createAsciiPoll({
      path: cable.path,
      request: '?\r',
      pattern: '{pressure}',
      unit: 'bar',
      terminator: '\r',
    });
    open.push({ driver, cable });
    await driver.open();
    const seen = new Collected(driver);
    await seen.until(() => seen.readings.length >= 4);
    expect(seen.pressuresPa).toEqual([102, 105, 106, 107].map((bar) => bar * 1e5 + 86_000));
    expect(seen.lines.filter(({ accepted }) => !accepted).map(({ text }) => text)).toEqual([
      '101.86',
      '9.86',
      '104.86',
    ]);
    expect(seen.faults.map(({ text }) => text)).toEqual([
      'the gauge did not answer within {seconds:0.5}',
      'the gauge answers too late: set timeout_ms higher',
    ]);
  });

  it('is asked again after its plug was pulled and put back', async () => {
    const { seen, cable } = await start(() => '>1.0\r', {});
    await seen.until(() => seen.readings.length >= 2);
    await cable.unplug();
    await seen.until(() => seen.faults.some((fault) => fault.code === 'unplugged'));
    await cable.plugIn();
    cable.onBytes(() => void cable.send('>2.0\r'));
    await seen.until(() => seen.pressuresPa.includes(200_000));
    expect(seen.faults.map((fault) => fault.code)).toEqual(['unplugged', 'replugged']);
  });
});

describe('settings', () => {
  it.each([
    [{ request: '#{address}\r' }, 'address'],
    [{ request: '#{checksum}\r' }, 'request_checksum'],
    [{ request: '#\r', requestChecksum: 'xor' as const }, 'request_checksum'],
    [{ request: '#\r', timeoutMs: 0 }, 'timeout_ms'],
  ])('refuses %o', (settings, key) => {
    const make = () => createAsciiPoll({ path: '/dev/ttyX', pattern: '{pressure}', unit: 'bar', ...settings });
    expect(make).toThrow(expect.objectContaining({ code: 'input', place: { key } }));
  });
});
