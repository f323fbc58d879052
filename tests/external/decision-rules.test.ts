import { describe, expect, it } from 'vitest';
import { acceptance } from '../../src/evaluation/index.js';

describe('decision rules of ILAC-G8:09/2019', () => {
  /** Limit 5.0 bar, U 1.2 bar, guard band w = U: computed from the definition AL = TL - w. */
  it.each([
    [3.5, 'pass'],
    [3.8, 'pass'],
    [4.4, 'conditional pass'],
    [5.0, 'conditional pass'],
    [5.6, 'conditional fail'],
    [6.2, 'conditional fail'],
    [6.3, 'fail'],
  ] as const)('guarded, limit 5.0 bar, U 1.2 bar: %f bar is a %s', (value, word) => {
    expect(acceptance('guarded', value, 1.2, 5.0)).toBe(word);
  });

  it.each([
    [3.5, 'pass'],
    [4.4, 'pass'],
    [5.0, 'pass'],
    [5.6, 'fail'],
    [6.3, 'fail'],
  ] as const)('simple, w = 0: %f bar is a %s', (value, word) => {
    expect(acceptance('simple', value, 1.2, 5.0)).toBe(word);
  });
});
