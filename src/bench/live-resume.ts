import { judgementOf } from '../audit/index.js';
import type { GaugeDriver, GaugeItem } from '../gauge/index.js';
import type { HoldState } from '../holdtest/index.js';
import { commitEvery, openStore, type Store, type TestHeader, type TestLine } from '../record/index.js';
import { DwellmarkError } from '../units/index.js';
import { HoldRun } from './hold-run.js';
import { openGaugesOf } from './live-gauge.js';
import { LiveRun } from './live-run.js';
import { type LiveStart, type StartedLive, sealedFor } from './live-start.js';
import type { Shop } from './shop.js';

/** A test that was begun and never sealed, as its record shows it. */
export interface CutOff {
  readonly header: TestHeader;
  readonly state: HoldState;
  /** From the first reading to the last, s. */
  readonly recordedS: number;
  readonly readings: number;
  /**
   * Whether it may go on: a dwell that was cut off can't be taken up, what came before a dwell and between ports can.
   */
  readonly mayGoOn: boolean;
}

/** Everything that was cut off, oldest first; not what runs now. */
export const cutOffTests = (store: Store): CutOff[] =>
  store
    .unfinished()
    .filter(({ test }) => !store.isRunning(test))
    .map((line) => cutOff(store, line));

function cutOff(store: Store, { test }: TestLine): CutOff {
  const { header } = store.test(test);
  const judgement = judgementOf(header);
  let [readings, firstUs, lastUs] = [0, 0, 0];
  for (const input of store.inputs(test)) {
    judgement.add(input);
    if (input.kind !== 'reading') continue;
    if (readings === 0) firstUs = input.reading.timeUs;
    readings += 1;
    lastUs = input.reading.timeUs;
  }
  const { state } = judgement;
  const mayGoOn = state.phase.name !== 'dwell' && state.phase.name !== 'done';
  return { header, state, recordedS: (lastUs - firstUs) / 1e6, readings, mayGoOn };
}

/** Closes a test that was cut off: ends it as interrupted and seals what there is. */
export function closeCutOff(store: Store, shop: Shop, test: string): ReturnType<HoldRun['result']> {
  const hold = takenUp(store, test, () => {});
  hold.end('interrupted');
  sealedFor(shop, test, hold);
  return hold.result();
}

function takenUp(store: Store, test: string, tell: LiveStart['tell']): HoldRun {
  const { header } = store.test(test);
  const inputs = [...store.inputs(test)];
  const hold = new HoldRun(judgementOf(header), store.resumeTest(test, commitEvery.live), tell);
  for (const input of inputs) hold.feed(input);
  return hold;
}

/**
 * Goes on with a test that was cut off, on the gauge that it was made with. The gauge's clock goes on where the
 * record ends, by the time that has passed on the wall, and a note says so.
 * @throws DwellmarkError when the test runs, when a dwell was cut off, or the gauge is not there.
 */
export async function resumeLive(
  test: string,
  shop: Shop,
  start: Pick<LiveStart, 'tell' | 'endWhenDone' | 'giveUpAfterS'>,
  now: Date = new Date(),
): Promise<StartedLive> {
  const store = openStore(shop.database, { mode: 'write' });
  try {
    const found = cutOffTests(store).find(({ header }) => header.test === test);
    if (!found) throw new DwellmarkError('input', `test ${test} was not cut off`);
    if (!found.mayGoOn)
      throw new DwellmarkError('refused', `test ${test} was cut off in its ${found.state.phase.name}`, {
        advice: 'Close it with `dwellmark test --resume`, and test the port again.',
      });
    const { header } = found;
    const gauge = await openGaugesOf(header.plan, shop);
    const hold = takenUp(store, test, start.tell);
    const awayS = Math.max(1, (now.getTime() - Date.parse(header.startedAt)) / 1000 - hold.lastUs / 1e6);
    const driver = later(gauge.driver, hold.lastUs + Math.round(awayS * 1e6));
    hold.act({ kind: 'note', text: `Taken up again: the program was cut off for {seconds:${awayS.toFixed(1)}}.` });
    const live = new LiveRun({ ...start, driver, hold, onPort: gauge.turnTo });
    const seal = () => sealedFor(shop, test, hold);
    return { header, hold, live, seal, trace: () => store.trace(test), close: () => store.close() };
  } catch (cause) {
    store.close();
    throw cause;
  }
}

/** A driver whose clock began `byUs` earlier. */
function later(driver: GaugeDriver, byUs: number): GaugeDriver {
  return {
    open: () => driver.open(),
    close: () => driver.close(),
    async *items(): AsyncIterable<GaugeItem> {
      for await (const item of driver.items()) yield moved(item, byUs);
    },
  };
}

function moved(item: GaugeItem, byUs: number): GaugeItem {
  switch (item.kind) {
    case 'reading':
      return { kind: 'reading', reading: { ...item.reading, timeUs: item.reading.timeUs + byUs } };
    case 'fault':
      return { kind: 'fault', fault: { ...item.fault, timeUs: item.fault.timeUs + byUs } };
    case 'line':
      return { ...item, timeUs: item.timeUs + byUs };
  }
}
