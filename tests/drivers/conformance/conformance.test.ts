import { describe, expect, it } from 'vitest';
import type { DriverModule, GaugeItem } from '../../../src/gauge/index.js';
import { rulesFor } from './rules.js';
import { shipped } from './shipped.js';

describe.concurrent.each(shipped.map((one) => ({ ...one, name: one.module.name })))('$name', ({ module, how }) => {
  it.each(rulesFor(how))('$name', async (rule) => {
    await expect(rule.check(module, how)).resolves.toBeUndefined();
  });
});

/** A driver that breaks the contract in one way each time, to see that the rules notice. */
function broken(pressures: readonly unknown[], timesUs: readonly number[], ends: boolean): DriverModule {
  return {
    name: 'broken',
    summary: 'breaks the contract',
    create: () => ({
      open: async () => ({ driver: 'broken', source: 'here', unit: 'bar', channels: { opposite: false, oil: false } }),
      async *items() {
        for (const [index, pressurePa] of pressures.entries())
          yield {
            kind: 'reading',
            reading: { timeUs: timesUs[index] ?? 0, pressurePa, oppositePa: null, oilK: null, flags: 0 },
          } as GaugeItem;
        if (!ends) await new Promise(() => {});
      },
      close: async () => {},
    }),
  };
}

describe.concurrent('a driver that breaks the contract is found out', () => {
  const how = (pressuresPa: number[]) => ({ settings: () => ({}), instrument: { kind: 'none' as const }, pressuresPa });
  it.each([
    ['another value', broken([1], [0], true), [2], /read \[1\], sent \[2\]/],
    ['half pascals', broken([1.5], [0], true), [1.5], /no whole pascals/],
    ['time backwards', broken([1, 2], [5, 4], true), [1, 2], /time runs backwards/],
    ['no value and no reason', broken([1, null], [0, 1], true), [1], /no flag that says why/],
    ['never ends', broken([1], [0], false), [1], /goes on after close/],
    ['takes any setting', broken([1], [0], true), [1], /no DwellmarkError "input"/],
  ])('%s', async (_, module, pressuresPa, message) => {
    const outcomes = await Promise.allSettled(
      rulesFor(how(pressuresPa)).map((rule) => rule.check(module, how(pressuresPa))),
    );
    const broke = outcomes.flatMap((outcome) => (outcome.status === 'rejected' ? [String(outcome.reason)] : []));
    expect(broke.join('\n')).toMatch(message);
  });
});
