import { join } from 'node:path';
import { parquetMetadata, parquetReadObjects } from 'hyparquet';
import { describe, expect, it } from 'vitest';
import { csvRow, exportCsv, exportJson, exportParquet } from '../../src/audit/index.js';
import { pressurePa } from '../../src/units/index.js';
import { asInputs, newStore, sampleHeader, sampleReadings, scratchFolder, writeTest } from '../record/sample-test.js';
import { readByArrow } from './arrow-memory.js';

describe('a test handed on', () => {
  const store = newStore(join(scratchFolder(), 'export.db'));
  const readings = sampleReadings({ seconds: 3 }).map((reading, index) =>
    index === 4 ? { ...reading, pressurePa: null, flags: 1 } : reading,
  );
  writeTest(store, sampleHeader('T-2026-0001', { customer: 'Two\nlines' }), asInputs(readings));
  const gauge = { ...sampleHeader('x').gauge, channels: { opposite: true, oil: false } };
  const both = readings.map((reading) => ({ ...reading, oppositePa: pressurePa(-1200), oilK: null }));
  writeTest(store, sampleHeader('T-2026-0002', { gauge }), asInputs(both));

  it('as CSV: what it is in comments, then every value exactly, a missing one empty', () => {
    const lines = [...exportCsv(store, 'T-2026-0001')].join('').trimEnd().split('\n');
    expect(lines.slice(0, 4)).toEqual([
      '# test T-2026-0001, Two lines, cylinder CY-1184',
      '# started 2026-03-02T09:00:00.000+01:00, gauge SN 40117',
      `# verdict pass, record ${store.test('T-2026-0001').head}`,
      'time_s,pressure_Pa,temperature_K,flags',
    ]);
    expect(lines).toHaveLength(4 + readings.length);
    expect(lines[8]).toBe(`0.400000,,${readings[4]?.oilK?.toFixed(3)},1`);
    expect(lines[5]).toBe(`0.100000,${readings[1]?.pressurePa},${readings[1]?.oilK?.toFixed(3)},0`);
    expect([...exportCsv(store, 'T-2026-0002')].slice(3, 5)).toEqual([
      'time_s,pressure_Pa,pressure_b_Pa,flags\n',
      `0.000000,${readings[0]?.pressurePa},-1200,0\n`,
    ]);
  });

  it('as JSON: one document with everything there is', () => {
    const document = JSON.parse([...exportJson(store, 'T-2026-0001')].join('')) as Record<string, unknown>;
    expect(document.inputs).toEqual(asInputs(readings));
    expect(document.header).toEqual(store.test('T-2026-0001').header);
    expect(document.head).toBe(store.test('T-2026-0001').head);
  });

  it('a row of a list is quoted where it must be', () => {
    expect(csvRow(['plain', 'a "b", c', 3, null, false, 'x\ny'])).toBe('plain,"a ""b"", c",3,,false,"x\ny"\n');
  });
});

describe('a trace as Parquet, read back by two readers that did not write it', () => {
  const store = newStore(join(scratchFolder(), 'parquet.db'));
  const long = sampleReadings({ seconds: 120 }).map((reading, index) =>
    index % 100 === 4 ? { ...reading, pressurePa: null, oilK: null, flags: 1 } : reading,
  );
  writeTest(store, sampleHeader('T-2026-0001'), asInputs(long));
  const bytes = async () => {
    const pieces: Uint8Array[] = [];
    for await (const piece of exportParquet(store, 'T-2026-0001', 1000)) pieces.push(piece);
    return { file: Buffer.concat(pieces), pieces: pieces.length };
  };
  const expected = long.map(({ timeUs, pressurePa: pa, oilK, flags }) => [timeUs / 1e6, pa, oilK, flags]);

  it('hyparquet: columns with their types, row groups, the record’s head in the metadata', async () => {
    const { file, pieces } = await bytes();
    expect(pieces).toBe(3);
    const buffer = file.buffer.slice(file.byteOffset, file.byteOffset + file.length) as ArrayBuffer;
    const metadata = parquetMetadata(buffer);
    expect(metadata.row_groups.map(({ num_rows }) => Number(num_rows))).toEqual([1000, 200]);
    expect(metadata.schema.slice(1).map(({ name, type, repetition_type: is }) => [name, type, is])).toEqual([
      ['time_s', 'DOUBLE', 'REQUIRED'],
      ['pressure_Pa', 'INT32', 'OPTIONAL'],
      ['temperature_K', 'DOUBLE', 'OPTIONAL'],
      ['flags', 'INT32', 'REQUIRED'],
    ]);
    const about = new Map(metadata.key_value_metadata?.map(({ key, value }) => [key, value]));
    const { head, header } = store.test('T-2026-0001');
    expect(about.get('dwellmark.record')).toBe(head);
    expect(JSON.parse(about.get('dwellmark.header') ?? '')).toEqual(header);
    const rows = (await parquetReadObjects({ file: buffer })) as Record<string, number | null>[];
    expect(JSON.stringify(rows.map(Object.values)) === JSON.stringify(expected)).toBe(true);
    expect(file.length).toBeLessThan([...exportCsv(store, 'T-2026-0001')].join('').length / 2);
  });

  it('the Rust implementation of Arrow: the same values, bit for bit', async () => {
    const { columns, metadata } = readByArrow(new Uint8Array((await bytes()).file));
    expect(metadata.get('dwellmark.verdict')).toBe(store.test('T-2026-0001').result?.verdict);
    expect(columns.map(({ name, format }) => [name, format])).toEqual([
      ['time_s', 'g'],
      ['pressure_Pa', 'i'],
      ['temperature_K', 'g'],
      ['flags', 'i'],
    ]);
    const rows = long.map((_, row) => columns.map(({ values }) => values[row]));
    expect(JSON.stringify(rows) === JSON.stringify(expected)).toBe(true);
    expect(columns.every(({ values }) => values.length === long.length)).toBe(true);
  });

  it('a test without a reading is refused: no reader is left with a file that another reads otherwise', async () => {
    writeTest(store, sampleHeader('T-2026-0002'), [{ kind: 'end', timeUs: 0, why: 'stopped' }]);
    const all = async () => {
      for await (const _ of exportParquet(store, 'T-2026-0002'));
    };
    await expect(all()).rejects.toThrow('test T-2026-0002 has no readings');
  });
});
