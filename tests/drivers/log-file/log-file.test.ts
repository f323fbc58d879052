import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createLogFile } from '../../../drivers/log-file/index.js';
import { readingFlags } from '../../../src/gauge/index.js';
import { Collected } from '../collect.js';

let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'dwellmark-log-'));
});
afterAll(() => rm(folder, { recursive: true }));

async function readLog(text: string, columns?: string) {
  const path = join(folder, 'hold.csv');
  await writeFile(path, text);
  const driver = createLogFile({ path, ...(columns === undefined ? {} : { columns }) });
  const description = await driver.open();
  const seen = new Collected(driver);
  await seen.done;
  await driver.close();
  return { description, seen };
}

describe('a recorded log', () => {
  it.each([
    ['bar', '250.01', 25_001_000],
    ['Pa', '25001000', 25_001_000],
    ['kPa', '25001', 25_001_000],
    ['MPa', '25.001', 25_001_000],
    ['psi', '3000', 20_684_272],
    ['kgfcm2', '250', 24_516_625],
  ])('reads pressure in %s as whole pascals', async (unit, figure, pascals) => {
    const { seen } = await readLog(`time_s,pressure_${unit}\n0,${figure}\n`);
    expect(seen.pressuresPa).toEqual([pascals]);
  });

  it.each([
    ['time_s', ['12.5', '12.6', '13'], [0, 100_000, 500_000]],
    ['time_ms', ['100', '200.5', '1100'], [0, 100_500, 1_000_000]],
    ['time_min', ['0', '0.5', '1'], [0, 30_000_000, 60_000_000]],
    [
      'timestamp',
      ['2026-03-14T08:00:00.25+01:00', '2026-03-14 07:00:00,5Z', '2026-03-14T08:01+01:00'],
      [0, 250_000, 59_750_000],
    ],
  ])('starts at zero whatever %s says at first', async (name, times, expected) => {
    const rows = times.map((time) => `"${time}";1`).join('\n');
    const { seen } = await readLog(`${name};pressure_bar\n${rows}\n`);
    expect(seen.readings.map((reading) => reading.timeUs)).toEqual(expected);
  });

  it('reads the other port, oil temperature, semicolons, decimal commas, quotes, comments, CRLF and a byte order mark', async () => {
    const { seen, description } = await readLog(
      '\uFEFF# recorded at bench 2\r\n\r\ntime_s;pressure_bar;pressure_b_bar;temperature_F;"who ""did"" it"\r\n' +
        '0,0;160,5;1,25;68;x\r\n# topped up\r\n0,1;"160,4";1,5;;\r\n',
    );
    expect(seen.readings).toEqual([
      { timeUs: 0, pressurePa: 16_050_000, oppositePa: 125_000, oilK: 293.15, flags: 0 },
      { timeUs: 100_000, pressurePa: 16_040_000, oppositePa: 150_000, oilK: null, flags: 0 },
    ]);
    expect(description).toMatchObject({
      driver: 'log-file',
      source: 'hold.csv',
      unit: 'bar',
      channels: { opposite: true, oil: true },
      notes: ['columns not used: who "did" it'],
    });
  });

  it('tells the wall clock of the first row', async () => {
    const { description } = await readLog('timestamp,pressure_bar\n2026-03-14T08:00:00Z,1\n');
    expect(description.startedAt).toBe('2026-03-14T08:00:00Z');
  });

  it('reads the columns of someone else, below notes of someone else', async () => {
    const { seen, description } = await readLog(
      'Logger 7, Bench 2\nElapsed,P1,"P2, return"\n0,3000,1\n1,2999,2\n',
      'time_s=Elapsed,pressure_psi=P1,pressure_b_psi="P2, return"',
    );
    expect(seen.pressuresPa).toEqual([20_684_272, 20_677_377]);
    expect(seen.readings.map((reading) => reading.oppositePa)).toEqual([6895, 13_790]);
    expect(description.notes).toEqual(['1 lines above the header not used']);
  });

  it('never makes a number of a mark, and tells each run of marks once', async () => {
    const { seen } = await readLog('time_s,pressure_bar\n0,250\n1,OL\n2,OL\n3,---\n4,NaN\n5,\n6,9.9E37\n7,250\n');
    expect(seen.pressuresPa).toEqual([25_000_000, null, null, null, null, null, null, 25_000_000]);
    expect(seen.readings.map((reading) => reading.flags)).toEqual([
      0,
      readingFlags.overRange,
      readingFlags.overRange,
      readingFlags.noValue,
      readingFlags.noValue,
      readingFlags.noValue,
      readingFlags.overRange,
      0,
    ]);
    expect(seen.faults.map((fault) => fault.code)).toEqual(['over-range', 'no-value', 'over-range']);
  });

  it('tells rows with the time of the row before, and rows that go back, without losing the rest', async () => {
    const { seen } = await readLog('time_s,pressure_bar\n0,1\n1,2\n1,3\n0.5,4\n2,5\n2,6\n');
    expect(seen.pressuresPa).toEqual([1e5, 2e5, 3e5, 5e5, 6e5]);
    expect(seen.faults.map(({ code, effect, text }) => [code, effect, text])).toEqual([
      ['time-backwards', 'note', 'line 4 repeats the time of the row before'],
      ['time-backwards', 'void', 'time runs backwards at line 5, by {seconds:0.5}'],
      ['time-backwards', 'note', '2 rows repeat the time of the row before'],
    ]);
  });

  it('does not read a last line that the recording broke off in', async () => {
    const { seen } = await readLog('time_s,pressure_bar\n0,345.10\n1,345.1');
    expect(seen.pressuresPa).toEqual([34_510_000]);
    expect(seen.faults.map((fault) => fault.text)).toEqual(['the log ends in the middle of line 3, which is not used']);
    const whole = await readLog('time_s,pressure_bar\n0,345.10\n1,345.12');
    expect(whole.seen.pressuresPa).toEqual([34_510_000, 34_512_000]);
  });
});

describe('a log that can not be read names file, line and column', () => {
  it.each([
    ['time_s,pressure_bar\n0,1\n1,2 bar\n', 3, 3, '"2 bar" is not a number'],
    ['time_s,pressure_bar\n0,1\nsoon,2\n', 3, 1, '"soon" is not a time'],
    ['time_s,pressure_bar\n0,1\n1\n', 3, 2, 'the line has 1 cell, the header wants at least 2'],
    ['time_s,pressure_bar\n0,1\n1,250,5\n', 3, 7, 'the line has 3 cells, the header has 2'],
    ['time_s,pressure_bar\n0,1\n1,"2\n', 3, 3, 'a quote is opened and not closed'],
    ['time_s;pressure_bar\n0,1;1\n1;2.5\n', 3, 3, '"2.5" has another decimal sign than the lines before it'],
    ['time_s;pressure_bar\n0;1.234,5\n', 2, 3, '"1.234,5" is not a number'],
    ['timestamp,pressure_bar\n2026-02-30T10:00:00,1\n', 2, 1, '"2026-02-30T10:00:00" is not a date and time'],
    ['time_s,pressure_bar,pressure_psi\n0,1,2\n', 1, 1, 'there are two columns for the pressure'],
    ['# nothing\n', 1, 1, 'the log is empty'],
    ['time_s,pressure_bar\n', 1, 1, 'the log has a header and no rows'],
  ])('%j', async (text, line, column, message) => {
    await expect(readLog(text)).rejects.toMatchObject({
      code: 'input',
      message,
      place: { file: join(folder, 'hold.csv'), line, column },
    });
  });

  it('a foreign header lists what was found and how to say what is what', async () => {
    await expect(readLog('Elapsed,P1\n0,1\n')).rejects.toMatchObject({
      message: 'no header with a time and a pressure column; found: "Elapsed", "P1"',
      advice: expect.stringContaining('--columns "time_s=Elapsed,pressure_bar=P1"'),
    });
  });

  it.each([
    ['time_s', '"time_s" is no pair'],
    ['seconds=Elapsed', '"seconds" is no column that is read'],
    ['time_s=Elapsed,pressure_furlong=P1', '"pressure_furlong" is no column that is read'],
    ['time_s=A,time_s=B', '"time_s" stands twice'],
  ])('--columns %s is refused', async (columns, message) => {
    expect(() => createLogFile({ path: 'x', columns })).toThrow(message);
  });

  it('a mapped column that is not there is named', async () => {
    await expect(readLog('t,p\n0,1\n', 'time_s=t,pressure_bar=P1')).rejects.toMatchObject({
      message: 'no column "P1"; found: "t", "p"',
    });
  });

  it('a file that is not there', async () => {
    const driver = createLogFile({ path: join(folder, 'none.csv') });
    await expect(driver.open()).rejects.toMatchObject({ code: 'input', message: 'there is no such file' });
  });
});
