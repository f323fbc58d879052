import { readFileSync, writeFileSync } from 'node:fs';
import { setPriority } from 'node:os';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { topicPage } from '../../../src/help/index.js';
import { type Accident, runAccident, type Seen } from './accident-bench.js';
import { accidentPage, accidentText, screenPart, withoutFigures } from './accident-page.js';
import { accidents } from './accidents.js';

/** So many benches at once: each is a terminal, a program and a gauge. */
const atOnce = Number(process.env.DWELLMARK_ACCIDENTS_AT_ONCE ?? 4);
const only = process.env.DWELLMARK_ACCIDENTS_ONLY;
const chosen = accidents.filter(({ name }) => only === undefined || new RegExp(only).test(name));

/** Writes what is seen into the help topic. */
const writes = process.env.DWELLMARK_ACCIDENTS_WRITE === '1';
const texts = new Map<Accident, string>();

/** Every accident in turn, a few beside each other; each in a real terminal. */
const runs = new Map<Accident, Promise<Seen>>();

/** A gauge keeps its beat however busy the computer is: this process plays the gauges. */
function priority(nice: number): void {
  try {
    setPriority(nice);
  } catch {
    // Nobody gave us the right; then on a busy computer the gauges stutter.
  }
}

beforeAll(() => {
  priority(-5);
  const waiting = [...chosen];
  const begun = new Map(
    chosen.map((accident) => {
      let start: () => void = () => {};
      const ready = new Promise<void>((resolve) => {
        start = resolve;
      });
      return [accident, { start, ready }] as const;
    }),
  );
  const next = (): void => begun.get(waiting.shift() as Accident)?.start();
  for (const accident of chosen) {
    const run = (begun.get(accident)?.ready ?? Promise.resolve()).then(() => runAccident(accident));
    run
      .then(
        (seen) =>
          `${accidentText(accident, seen)} ${seen.invented} invented, ${seen.lost} lost, ${seen.problems.length} altered`,
        String,
      )
      .then((line) => process.stderr.write(`${line}\n`))
      .finally(next);
    runs.set(accident, run);
  }
  for (let count = 0; count < atOnce; count += 1) next();
});

afterAll(() => {
  priority(0);
  if (!writes) return;
  const file = new URL('../../../src/help/accidents.md', import.meta.url);
  const before = readFileSync(file, 'utf8').split('\n\n');
  const page = accidents.flatMap(
    (accident) =>
      texts.get(accident) ?? before.find((text) => text.startsWith(`${accident.name}. Screen:`))?.trim() ?? [],
  );
  writeFileSync(file, accidentPage(page));
});

describe('the accident book', { timeout: 600_000 }, () => {
  it.each(chosen.map((accident) => [accident.name, accident] as const))('%s', async (_, accident) => {
    const seen = await runs.get(accident);
    if (!seen) throw new Error('it was not run');
    expect(seen).toMatchObject({ invented: 0, lost: 0, problems: [] });
    expect(seen.record).toMatch(accident.record);
    expect(seen.faults).toEqual(expect.arrayContaining([...(accident.faults ?? [])]));
    if (seen.gaugePausedS < 0.4) expect(seen.faults.filter((code) => accident.without?.includes(code))).toEqual([]);
    expect([accident.exit].flat()).toContain(seen.exit);
    texts.set(accident, accidentText(accident, seen));
    if (!writes) expect(withoutFigures(topicPage('accidents'))).toContain(withoutFigures(screenPart(accident, seen)));
  });
});
