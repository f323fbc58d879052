import { judgementOf } from '../audit/index.js';
import type { Reading } from '../gauge/index.js';
import { commitEvery, openStore, type SealMark, type TestHeader } from '../record/index.js';
import { HoldRun, type RunNews } from './hold-run.js';
import { announce } from './hooks.js';
import { openGaugesOf } from './live-gauge.js';
import { LiveRun } from './live-run.js';
import type { Prepared } from './prepare.js';
import type { Shop } from './shop.js';
import { testHeader } from './test-header.js';

export interface LiveStart {
  readonly prepared: Prepared;
  readonly shop: Shop;
  readonly technician: string;
  readonly overruled: { readonly by: string; readonly why: string } | null;
  readonly tell: (news: RunNews) => void;
  readonly endWhenDone: boolean;
  readonly giveUpAfterS: number | null;
}

/** A test whose header is on disk and whose gauge is open. */
export interface StartedLive {
  readonly header: TestHeader;
  readonly hold: HoldRun;
  readonly live: LiveRun;
  /** Seals the record once the run has ended. */
  seal(): SealMark | null;
  /** The whole trace, out of the record. */
  trace(): Iterable<Reading>;
  /** Lets the store go. */
  close(): void;
}

/** Seals a record, and hands it over to the shop's hook. */
export function sealedFor(shop: Shop, test: string, hold: HoldRun): SealMark | null {
  const mark = hold.seal();
  announce(shop, 'sealed', test);
  return mark;
}

/**
 * Takes the store, opens the gauge and begins the test, in this order: when the gauge can't be opened, no test stands
 * in the record.
 * @throws DwellmarkError when the gauge is not there.
 */
export async function startLive(start: LiveStart): Promise<StartedLive> {
  const { prepared, shop, technician, overruled } = start;
  const store = openStore(shop.database, { mode: 'write' });
  try {
    const gauge = await openGaugesOf(prepared.plan, shop);
    try {
      const about = {
        ...{ store, prepared, shop, technician, gauge: gauge.description, origin: gauge.origin, now: new Date() },
        ...(overruled ? { overruled } : {}),
      };
      const writer = store.beginNextTest((test) => testHeader({ ...about, test }), commitEvery.live);
      const { header } = store.test(writer.test);
      const hold = new HoldRun(judgementOf(header), writer, start.tell);
      const live = new LiveRun({ ...start, driver: gauge.driver, hold, onPort: gauge.turnTo });
      return {
        header,
        hold,
        live,
        seal: () => sealedFor(shop, header.test, hold),
        trace: () => store.trace(header.test),
        close: () => store.close(),
      };
    } catch (cause) {
      await gauge.driver.close();
      throw cause;
    }
  } catch (cause) {
    store.close();
    throw cause;
  }
}
