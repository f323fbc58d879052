import type { GaugeDescription, GaugeDriver, GaugeFault, GaugeItem } from '../driver.js';
import type { SupervisionLimits } from './limits.js';
import type { SupervisionInput } from './rule.js';
import { type SupervisionState, supervise, supervisionStart } from './supervise.js';

const tickMs = 100;

/**
 * A driver with supervision on: the same items, and right behind each the faults found in it. With `live`, time also
 * passes while nothing comes, so that silence is told when it is long enough and not when it is over; a recorded
 * log needs no clock.
 */
export function supervised(
  driver: GaugeDriver,
  limits: SupervisionLimits | ((description: GaugeDescription) => SupervisionLimits),
  options: { readonly live: boolean } = { live: true },
): GaugeDriver {
  let settled: SupervisionLimits | undefined = typeof limits === 'function' ? undefined : limits;
  return {
    async open() {
      const description = await driver.open();
      settled ??= typeof limits === 'function' ? limits(description) : limits;
      return description;
    },
    items() {
      if (!settled) throw new Error('open() comes before items()');
      return watch(driver.items(), settled, options.live);
    },
    close: () => driver.close(),
  };
}

/** One generator for all of it, and one wait an item: this is the path of every reading. */
async function* watch(
  items: AsyncIterable<GaugeItem>,
  limits: SupervisionLimits,
  live: boolean,
): AsyncGenerator<GaugeItem, void, undefined> {
  const source = items[Symbol.asyncIterator]();
  let state: SupervisionState = supervisionStart;
  const look = (input: SupervisionInput): readonly GaugeFault[] => {
    const outcome = supervise(state, input, limits);
    state = outcome.state;
    return outcome.faults;
  };
  let clockUs = 0;
  let clockAtMs = performance.now();
  let wake: ((tick: 'tick') => void) | undefined;
  const timer = live ? setInterval(() => wake?.('tick'), tickMs) : undefined;
  try {
    for (;;) {
      const next = source.next();
      let got: IteratorResult<GaugeItem> | 'tick' = live ? await nextOrTick(next) : await next;
      while (got === 'tick') {
        const nowUs = clockUs + Math.round((performance.now() - clockAtMs) * 1000);
        for (const fault of look({ kind: 'tick', timeUs: nowUs })) yield { kind: 'fault', fault };
        got = await nextOrTick(next);
      }
      if (got.done) return;
      const item = got.value;
      if (live) {
        clockUs = Math.max(clockUs, timeOf(item));
        clockAtMs = performance.now();
      }
      yield item;
      for (const fault of look(item)) yield { kind: 'fault', fault };
    }
  } finally {
    clearInterval(timer);
    // Not waited for: a generator that waits for its instrument would hold the one who leaves.
    void source.return?.();
  }

  function nextOrTick(next: Promise<IteratorResult<GaugeItem>>): Promise<IteratorResult<GaugeItem> | 'tick'> {
    return new Promise((resolve, reject) => {
      wake = resolve;
      next.then(resolve, reject);
    });
  }
}

function timeOf(item: GaugeItem): number {
  switch (item.kind) {
    case 'reading':
      return item.reading.timeUs;
    case 'line':
      return item.timeUs;
    case 'fault':
      return item.fault.timeUs;
  }
}
