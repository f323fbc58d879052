import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { csvRow, exportCsv, exportJson } from '../../src/audit/index.js';
import { pressurePa } from '../../src/units/index.js';
import { asInputs, newStore, sampleHeader, sampleReadings, scratchFolder, writeTest } from '../record/sample-test.js';

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
