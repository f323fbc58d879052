import { writeSync } from 'node:fs';
import { openStore } from '../../../src/record/index.js';
import { sampleHeader, sampleReadings, sampleResult } from '../sample-test.js';

/**
 * Writes live tests into a store until it is killed or the disk is full, each of 400 readings, and says on stdout what
 * is stored: `T-2026-0001 210` after a commit, `T-2026-0001 sealed` after a seal, `refused …` for an error.
 */
const [path = ''] = process.argv.slice(2);
const readings = sampleReadings({ seconds: 40 });
const store = openStore(path, { mode: 'write' });
const say = (text: string): void => void writeSync(1, `${text}\n`);

try {
  for (;;) {
    const [cut] = store.unfinished();
    const writer = cut
      ? store.resumeTest(cut.test)
      : store.beginTest(sampleHeader(store.nextTestId(2026), { origin: 'live' }));
    say(`${writer.test} ${writer.stored.readings}`);
    for (const reading of readings.slice(writer.stored.readings)) {
      const before = writer.stored.readings;
      writer.append({ kind: 'reading', reading });
      if (writer.stored.readings !== before) say(`${writer.test} ${writer.stored.readings}`);
    }
    writer.finish(sampleResult(readings.map((reading) => ({ kind: 'reading', reading }))));
    say(`${writer.test} sealed`);
  }
} catch (error) {
  say(`refused ${(error as Error).message}`);
  process.exit(1);
}
