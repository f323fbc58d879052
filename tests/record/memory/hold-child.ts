import { judgementOf } from '../../../src/audit/index.js';
import { HoldRun } from '../../../src/bench/index.js';
import { openStore } from '../../../src/record/index.js';
import { longHold, longHoldHeader } from '../../page/long-hold.js';

/**
 * Runs a live hold of so many minutes at so many readings a second into a store, as fast as it can be computed, and says after
 * each minute of the test how many bytes are held once all garbage is gone.
 */
const [path = '', minutes = '60', perSecond = '1000'] = process.argv.slice(2);
const rate = Number(perSecond);
const header = longHoldHeader('T-2026-0001', Number(minutes) * 60 - 240, { origin: 'live' });
const say = (told: Readonly<Record<string, unknown>>): boolean => process.stdout.write(`${JSON.stringify(told)}\n`);
const store = openStore(path, { mode: 'write' });
const hold = new HoldRun(judgementOf(header), store.beginTest(header));
let readings = 0;
for (const input of longHold(header, rate)) {
  if (input.kind !== 'reading') continue;
  const { timeUs, pressurePa } = input.reading;
  hold.take({ kind: 'line', timeUs, text: `${((pressurePa ?? 0) / 1e5).toFixed(2)} bar`, accepted: true });
  hold.take(input);
  readings += 1;
  if (readings % (60 * rate) !== 0) continue;
  globalThis.gc?.();
  const { heapUsed, external, rss } = process.memoryUsage();
  say({ minute: readings / (60 * rate), readings, bytes: heapUsed + external, rss });
}
hold.end('end of trace');
const mark = hold.seal();
say({
  sealed: mark?.head,
  verdict: hold.result().verdict,
  stored: store.test('T-2026-0001').seal?.readings,
});
store.close();
