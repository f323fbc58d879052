import { writeSync } from 'node:fs';
import { openStore, type TestWriter } from '../../../src/record/index.js';
import { sampleHeader, sampleReadings, sampleResult } from '../sample-test.js';

/**
 * Writes live tests into a store until it is killed or the disk is full, each of 400 readings, and says on stdout what
 * is stored: `T-2026-0001 210` after a commit, `T-2026-0001 sealed` after a seal, `refused …` for an error.
 */
const [path = ''] = process.argv.slice(2);
const readings = sampleReadings({ seconds: 40 });
const store = openStore(path, { mode: 'write' });
/** Written at once and whole, also where whoever reads the pipe is slow: Node.js then says EAGAIN. */
function say(text: string): void {
  const line = Buffer.from(`${text}\n`);
  for (let sent = 0; sent < line.length; ) {
    try {
      sent += writeSync(1, line, sent);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EAGAIN') throw error;
    }
  }
}

/** A test that another writer left unsealed when it was killed. */
function takenUp(): TestWriter | undefined {
  for (const { test } of store.unfinished()) {
    if (store.isRunning(test)) continue;
    try {
      return store.resumeTest(test);
    } catch (error) {
      if (!/is being written|is sealed/.test((error as Error).message)) throw error;
    }
  }
  return undefined;
}

try {
  for (;;) {
    const writer = takenUp() ?? store.beginNextTest((test) => sampleHeader(test, { origin: 'live' }));
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
