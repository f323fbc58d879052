import type { GaugeDescription, GaugeDriver, GaugeItem } from '../driver.js';
import type { SupervisionLimits } from './limits.js';
import type { Outcome, SupervisionInput } from './rule.js';
import { type SupervisionState, supervise, supervisionStart } from './supervise.js';

const tickMs = 25;

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

async function* watch(
  items: AsyncIterable<GaugeItem>,
  limits: SupervisionLimits,
  live: boolean,
): AsyncGenerator<GaugeItem, void, undefined> {
  let state: SupervisionState = supervisionStart;
  const look = (input: SupervisionInput): Outcome<SupervisionState>['faults'] => {
    const outcome = supervise(state, input, limits);
    state = outcome.state;
    return outcome.faults;
  };
  for await (const input of live ? withTicks(items) : items) {
    if (input.kind !== 'tick') yield input;
    for (const fault of look(input)) yield { kind: 'fault', fault };
  }
}

/** The items, and a tick whenever none came for a while, on the clock that the items carry. */
async function* withTicks(items: AsyncIterable<GaugeItem>): AsyncGenerator<SupervisionInput, void, undefined> {
  const source = items[Symbol.asyncIterator]();
  let arrived: IteratorResult<GaugeItem> | undefined;
  let failure: { readonly cause: unknown } | undefined;
  let wake = (): void => {};
  const fetch = (): void => {
    arrived = undefined;
    source.next().then(
      (result) => {
        arrived = result;
        wake();
      },
      (cause: unknown) => {
        failure = { cause };
        wake();
      },
    );
  };
  let clockUs = 0;
  let clockAtMs = performance.now();
  const timer = setInterval(() => wake(), tickMs);
  try {
    fetch();
    for (;;) {
      if (!arrived && !failure)
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
      if (failure) throw failure.cause;
      if (!arrived) {
        yield { kind: 'tick', timeUs: clockUs + Math.round((performance.now() - clockAtMs) * 1000) };
        continue;
      }
      if (arrived.done) return;
      const item: GaugeItem = arrived.value;
      clockUs = Math.max(clockUs, timeOf(item));
      clockAtMs = performance.now();
      fetch();
      yield item;
    }
  } finally {
    clearInterval(timer);
    // Not waited for: a generator that waits for its instrument would hold the one who leaves.
    void source.return?.();
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
