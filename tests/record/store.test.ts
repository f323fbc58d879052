import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { HoldInput } from '../../src/holdtest/index.js';
import { openStore } from '../../src/record/index.js';
import {
  asInputs,
  newStore,
  sampleHeader,
  sampleReadings,
  sampleResult,
  scratchFolder,
  writeTest,
} from './sample-test.js';

const folder = scratchFolder();

describe('a test in the store', () => {
  const readings = sampleReadings({ seconds: 30 });
  const inputs: HoldInput[] = [
    { kind: 'operator', timeUs: 0, act: { kind: 'continue' } },
    ...asInputs(readings.slice(0, 120)).slice(0, -1),
    { kind: 'fault', fault: { timeUs: 12_000_000, code: 'silent', text: 'nothing for 2 s', effect: 'void' } },
    { kind: 'operator', timeUs: 12_500_000, act: { kind: 'note', text: 'Kabel lose, nachgesteckt' } },
    ...asInputs(readings.slice(120)),
  ];

  for (const origin of ['live', 'imported'] as const) {
    it(`gives back a ${origin} test's inputs exactly and in order, while it runs and when sealed`, () => {
      const store = newStore(join(folder, `${origin}.db`));
      const header = sampleHeader(store.nextTestId(2026), { origin });
      const writer = store.beginTest(header);
      for (const input of inputs) writer.append(input);
      writer.flush();
      expect(writer.stored).toMatchObject({ readings: 300, inputs: inputs.length });
      expect([...store.inputs('T-2026-0001')]).toEqual(inputs);
      const mark = writer.finish(sampleResult(inputs));
      expect([...store.inputs('T-2026-0001')]).toEqual(inputs);
      const stored = store.test('T-2026-0001');
      expect(stored.header).toEqual(header);
      expect(stored.head).toBe(mark.head);
      expect(stored.seal).toMatchObject({ readings: 300, inputs: inputs.length, firstUs: 0, lastUs: 29_900_000 });
      expect(stored.acts.map(({ kind }) => kind)).toEqual(['test started', 'test sealed']);
      expect(stored.result).toEqual(sampleResult(inputs));
      store.close();
    });
  }

  it('a live test is on disk after a second of readings, and at once after a person’s act', () => {
    const store = newStore(join(folder, 'second.db'));
    const writer = store.beginTest(sampleHeader('T-2026-0001', { origin: 'live' }));
    for (const input of asInputs(readings.slice(0, 10)).slice(0, -1)) writer.append(input);
    expect(writer.stored.readings).toBe(0);
    writer.append({ kind: 'reading', reading: readings[10] as (typeof readings)[0] });
    expect(writer.stored.readings).toBe(11);
    writer.append({ kind: 'reading', reading: readings[11] as (typeof readings)[0] });
    writer.append({ kind: 'operator', timeUs: 1_150_000, act: { kind: 'inspected' } });
    expect(writer.stored).toMatchObject({ readings: 12, inputs: 13 });
    store.close();
  });

  it('raw lines lie beside the readings and are no inputs', () => {
    const store = newStore(join(folder, 'lines.db'));
    const writer = store.beginTest(sampleHeader('T-2026-0001'));
    const lines = [
      { timeUs: 5, text: '01+0253.7', accepted: true },
      { timeUs: 9, text: '----', accepted: false },
    ];
    for (const line of lines) writer.rawLine(line);
    for (const input of inputs) writer.append(input);
    writer.finish(sampleResult(inputs));
    expect([...store.rawLines('T-2026-0001')]).toEqual(lines);
    expect([...store.inputs('T-2026-0001')]).toEqual(inputs);
    store.close();
  });

  it('goes on where it was cut off', () => {
    const path = join(folder, 'resume.db');
    const before = newStore(path);
    const cut = before.beginTest(sampleHeader('T-2026-0001', { origin: 'live' }));
    for (const input of inputs.slice(0, 150)) cut.append(input);
    const kept = cut.stored;
    before.close();

    const store = newStore(path);
    expect(store.unfinished().map(({ test }) => test)).toEqual(['T-2026-0001']);
    const writer = store.resumeTest('T-2026-0001');
    expect(writer.stored).toEqual(kept);
    for (const input of inputs.slice(kept.inputs)) writer.append(input);
    writer.finish(sampleResult(inputs));
    expect([...store.inputs('T-2026-0001')]).toEqual(inputs);
    expect(store.unfinished()).toEqual([]);
    store.close();
  });

  it('is read by others while it runs', () => {
    const path = join(folder, 'beside.db');
    const store = newStore(path);
    const writer = store.beginTest(sampleHeader('T-2026-0001', { origin: 'live' }));
    for (const input of inputs) writer.append(input);
    const reader = openStore(path, { mode: 'read' });
    expect([...reader.inputs('T-2026-0001')]).toEqual(inputs);
    expect(() => reader.act('backup made', {})).toThrow('opened to be read');
    reader.close();
    store.close();
  });

  it('a second test under the same number, and one more input after the seal, are refused', () => {
    const store = newStore(join(folder, 'twice.db'));
    writeTest(store, sampleHeader('T-2026-0001'), inputs);
    expect(() => store.beginTest(sampleHeader('T-2026-0001'))).toThrow('there is a test T-2026-0001 already');
    expect(() => store.resumeTest('T-2026-0001')).toThrow('is sealed');
    expect(() => store.test('T-2026-0099')).toThrow('there is no test T-2026-0099');
    expect(store.nextTestId(2026)).toBe('T-2026-0002');
    store.close();
  });
});
