import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { KeyBursts } from '../../../src/cli/screen/key-bursts.js';

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

/** What comes of keys, each so many ms after the one before; `\n` is Enter, `\u001b` Escape. */
function typed(text: string, gapMs: number): string[] {
  const came: string[] = [];
  const bursts = new KeyBursts({
    key: ({ name }) => came.push(name),
    scanned: (scan, entered) => came.push(`<${scan}${entered ? '>' : ''}`),
  });
  for (const letter of text) {
    const name = { '\n': 'return', '\u001b': 'escape' }[letter];
    bursts.take({ name: name ?? letter, ctrl: false, text: name === undefined ? letter : '' });
    vi.advanceTimersByTime(gapMs);
  }
  vi.advanceTimersByTime(1000);
  return came;
}

describe('a scanner or a paste is told from fingers by its pace', () => {
  it.each([0, 1, 12, 30])('%i ms between signs: one text, Enter and all', (gapMs) => {
    expect(typed('WO-2207\n', gapMs)).toEqual(['<WO-2207>']);
    expect(typed('2y2y', gapMs)).toEqual(['<2y2y']);
  });

  it.each([40, 90, 400])('%i ms between them: keys, none lost and none out of turn', (gapMs) => {
    expect(typed('o11\n2\u001bs', gapMs)).toEqual(['o', '1', '1', 'return', '2', 'escape', 's']);
  });

  it('two or three keys of a keypad at once are keys', () => {
    expect(typed('11\n', 0)).toEqual(['1', '1', 'return']);
    expect(typed('o22', 0)).toEqual(['o', '2', '2']);
    expect(typed('1\u001b2', 0)).toEqual(['1', 'escape', '2']);
  });

  it('Enter alone waits for nothing', () => {
    expect(typed('\n\n', 0)).toEqual(['return', 'return']);
  });
});
