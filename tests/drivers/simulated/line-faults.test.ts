import { describe, expect, it } from 'vitest';
import { type LineFault, plainShape, type SentLine, speak } from '../../../drivers/simulated/index.js';
import type { GaugeItem, Reading } from '../../../src/gauge/index.js';

/** Ten readings a second for ten seconds, a bar more each time. */
async function* rising(): AsyncIterable<GaugeItem> {
  for (let index = 1; index <= 100; index++)
    yield {
      kind: 'reading',
      reading: {
        timeUs: index * 100_000,
        pressurePa: index * 100_000,
        oppositePa: null,
        oilK: null,
        flags: 0,
      } as Reading,
    };
}

async function spoken(...faults: readonly LineFault[]): Promise<{ sent: readonly SentLine[]; closed: boolean }> {
  let closed = false;
  const port = {
    write: async (): Promise<void> => undefined,
    close: (): void => {
      closed = true;
    },
  };
  const { oilDecimals: _without, ...shape } = plainShape;
  const sent = await speak(rising(), port, { shape, faults });
  return { sent, closed };
}
const at = (sent: readonly SentLine[], seconds: number): string | undefined =>
  sent.find(({ timeUs }) => timeUs === Math.round(seconds * 1e6))?.text;

describe('faults of the line', () => {
  it('none: a line for each reading', async () => {
    const { sent, closed } = await spoken();
    expect(sent).toHaveLength(100);
    expect(at(sent, 5)).toBe('+0050.0 bar\r\n');
    expect(closed).toBe(false);
  });

  it('silence sends nothing for its time', async () => {
    const { sent } = await spoken({ kind: 'silence', atS: 4, forS: 2 });
    expect(sent).toHaveLength(80);
    expect(at(sent, 3.9)).toBe('+0039.0 bar\r\n');
    expect(at(sent, 4)).toBeUndefined();
    expect(at(sent, 6)).toBe('+0060.0 bar\r\n');
  });

  it('freeze sends the last value before it', async () => {
    const { sent } = await spoken({ kind: 'freeze', atS: 4, forS: 2 });
    expect(at(sent, 4)).toBe('+0039.0 bar\r\n');
    expect(at(sent, 5.9)).toBe('+0039.0 bar\r\n');
    expect(at(sent, 6)).toBe('+0060.0 bar\r\n');
  });

  it('jump is off by its step', async () => {
    const { sent } = await spoken({ kind: 'jump', atS: 4, forS: 0.1, byPa: 30e5 });
    expect(at(sent, 4)).toBe('+0070.0 bar\r\n');
    expect(at(sent, 4.1)).toBe('+0041.0 bar\r\n');
  });

  it('wrong unit changes the figure and the name of its unit', async () => {
    const { sent } = await spoken({ kind: 'wrong unit', atS: 5, forS: 10 });
    expect(at(sent, 5)).toBe('+0725.2 psi\r\n');
  });

  it('half rate leaves out every second line', async () => {
    const { sent } = await spoken({ kind: 'half rate', atS: 2, forS: 4 });
    expect(sent).toHaveLength(80);
  });

  it('corrupted bytes keep the length of the line and spoil its figure', async () => {
    const { sent } = await spoken({ kind: 'corrupted bytes', atS: 5, forS: 0.1 });
    expect(at(sent, 5)).toBe('+p050.0 bar\r\n');
    expect(sent).toHaveLength(100);
  });

  it('unplug closes the port, and nothing follows', async () => {
    const { sent, closed } = await spoken({ kind: 'unplug', atS: 5 });
    expect(sent).toHaveLength(49);
    expect(closed).toBe(true);
  });

  it('several faults at once', async () => {
    const { sent } = await spoken(
      { kind: 'half rate', atS: 0, forS: 20 },
      { kind: 'jump', atS: 0, forS: 10, byPa: 1e5 },
    );
    expect(sent).toHaveLength(50);
    expect(sent[0]?.text).toBe('+0002.0 bar\r\n');
  });
});
