import { createHash } from 'node:crypto';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createLogFile, type LogFileSettings } from '../../../drivers/log-file/index.js';
import { Collected } from '../collect.js';

let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'dwellmark-foreign-'));
});
afterAll(() => rm(folder, { recursive: true }));

async function readLog(text: string, settings: Omit<LogFileSettings, 'path'> = {}) {
  const path = join(folder, 'hold.csv');
  await writeFile(path, text);
  const driver = createLogFile({ path, ...settings });
  const description = await driver.open();
  const seen = new Collected(driver);
  await seen.done;
  await driver.close();
  const times = seen.readings.map(({ timeUs }) => timeUs);
  return { description, times, pressuresPa: seen.pressuresPa };
}

describe('a log of another program', () => {
  it.each([
    ['time_s,pressure_bar', 'time_min=time_s,pressure_bar=pressure_bar'],
    ['Elapsed (s),P1', 'time_min=Elapsed (s),pressure_bar=P1'],
    ['t [ms],P1', 'time_s=t [ms],pressure_bar=P1'],
    ['Elapsed,P1 [psi]', 'time_s=Elapsed,pressure_bar=P1 [psi]'],
    ['Elapsed,Pressure bar', 'time_s=Elapsed,pressure_kPa=Pressure bar'],
    ['Elapsed,P1 (bar abs)', 'time_s=Elapsed,pressure_bar=P1 (bar abs)'],
    ['Elapsed,P1 [psia]', 'time_s=Elapsed,pressure_psi=P1 [psia]'],
    ['Elapsed,P1_psig', 'time_s=Elapsed,pressure_bar=P1_psig'],
    ['Elapsed,Oil [°C]', 'time_s=Elapsed,pressure_bar=Oil [°C]'],
    ['Elapsed,P1\ns,psi', 'time_s=Elapsed,pressure_bar=P1'],
    ['Elapsed,P1\nmin,bar', 'time_s=Elapsed,pressure_bar=P1'],
    ['time_s,pressure_bar\ns,psi', undefined],
  ])('is not read against its own unit: %s by %s', async (header, columns) => {
    const settings = columns === undefined ? {} : { columns };
    await expect(readLog(`${header}\n0,1\n1,2\n`, settings)).rejects.toThrow(/by its own words/);
  });

  it.each<[string, string, Omit<LogFileSettings, 'path'>]>([
    [
      'its own unit agrees',
      'Elapsed (s),P1 [bar]\n0,1\n1,2\n',
      { columns: 'time_s=Elapsed (s),pressure_bar=P1 [bar]' },
    ],
    ['a single letter is no unit', 'Elapsed,Sensor C\n0,1\n1,2\n', { columns: 'time_s=Elapsed,pressure_bar=Sensor C' }],
    ['names over units', 'Time;Pressure;State\ns;bar;-\n0;1;x\n1;2;x\n', {}],
    ['names of ours over their units', 'time_s,pressure_bar\n[s],[bar]\n0,1\n1,2\n', {}],
    ['a mapping over a row of units', 'Elapsed,P1\ns,barg\n0,1\n1,2\n', { columns: 'time_s=Elapsed,pressure_bar=P1' }],
    ['no header', '0;1,0\n1;2,0\n', { columns: 'time_s=#1,pressure_bar=#2' }],
    ['remarks among the rows', 'time_s,pressure_bar\n0,1\npump off\n"valve shut",\n1,2\n', {}],
    ['lines above', 'Logger 4\nBay,2,\ntime_s,pressure_bar\n0,1\n1,2\n', {}],
    [
      'a stamp format',
      'timestamp,pressure_bar\n14.03.2026 08:00:00,1\n14.03.2026 08:00:01,2\n',
      { stamp: 'DD.MM.YYYY HH:mm:ss' },
    ],
  ])('reads %s', async (_, text, settings) => {
    expect(await readLog(text, settings)).toMatchObject({ times: [0, 1_000_000], pressuresPa: [100_000, 200_000] });
  });

  it('takes the ambient pressure off absolute ones: the standard atmosphere, or what is given', async () => {
    const text = 'time_s,pressure_bar_abs\n0,1.01325\n1,251.01325\n';
    const usual = await readLog(text);
    expect(usual.pressuresPa).toEqual([0, 25_000_000]);
    expect(usual.description.log?.ambientPa).toBe(101_325);
    expect((await readLog(text, { ambientPa: 95_000 })).pressuresPa[0]).toBe(6325);
  });

  it('says which file it was, what was read from what, and what was left out', async () => {
    const text = '# by hand\nLogger 4\nElapsed,P1\ns,bar\n0,1\npump off\n# 0.5,9\n1,2\n';
    const { description } = await readLog(text, { columns: 'time_s=Elapsed,pressure_bar=P1' });
    expect(description.log).toEqual({
      sha256: createHash('sha256').update(text).digest('hex'),
      columns: ['time_s from "Elapsed"', 'pressure_bar from "P1"'],
      leftOut: 5,
      firstLeftOut: [6],
    });
  });

  it('is dated by its own stamps, ISO 8601 whatever they are written as', async () => {
    const stamped = async (text: string, stamp?: string) =>
      (await readLog(`timestamp,pressure_bar\n${text},1\n`, stamp === undefined ? {} : { stamp })).description
        .startedAt;
    expect(await stamped('2026-03-14 08:00:00.5+0100')).toBe('2026-03-14T08:00:00.5+01:00');
    expect(await stamped('3/14/2026 8:05', 'MM/DD/YYYY HH:mm')).toBe('2026-03-14T08:05:00');
    await expect(stamped('31.02.2026 08:00', 'DD.MM.YYYY HH:mm')).rejects.toThrow('is not a date and time');
    await expect(stamped('1', 'HH:mm')).rejects.toThrow('must have YYYY');
  });
});
