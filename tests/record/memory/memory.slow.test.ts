import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { scratchFolder } from '../sample-test.js';

/** Minutes of the test: a few in the usual run; DWELLMARK_HOLD_MINUTES=60 for an hour. */
const minutes = Number(process.env.DWELLMARK_HOLD_MINUTES ?? 8);
const perSecond = 1000;
/** What a reading may cost in memory once the test has settled down, bytes: an hour of them are 15 MB then. */
const mostBytesAReading = 4;

describe(`a live hold of ${minutes} minutes at ${perSecond} readings/s, its lines kept`, () => {
  it('holds no more memory at its end than after its first half', () => {
    const child = join(import.meta.dirname, 'hold-child.ts');
    const path = join(scratchFolder(), 'hour.db');
    const out = execFileSync(
      process.execPath,
      ['--expose-gc', '--import', 'tsx', child, path, String(minutes), String(perSecond)],
      { encoding: 'utf8' },
    );
    const lines = out
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, number>);
    // The last look comes after the verdict was worked out, and its figures are kept.
    const looks = lines.slice(0, -2);
    const [half, last] = [looks[Math.floor(minutes / 2) - 1], looks.at(-1)];
    expect(lines.at(-1)).toMatchObject({ verdict: 'pass', stored: minutes * 60 * perSecond });
    const grown = ((last?.bytes ?? 0) - (half?.bytes ?? 0)) / ((last?.readings ?? 0) - (half?.readings ?? 0));
    process.stderr.write(
      `held after each minute, MB: ${looks.map(({ bytes = 0 }) => (bytes / 1e6).toFixed(1)).join(' ')}; ${grown.toFixed(2)} bytes a reading in the second half; resident at the end ${((last?.rss ?? 0) / 1e6).toFixed(0)} MB\n`,
    );
    expect(grown).toBeLessThan(mostBytesAReading);
  }, 3_600_000);
});
