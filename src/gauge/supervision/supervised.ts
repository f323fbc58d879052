import type { GaugeDescription, GaugeDriver, GaugeFault, GaugeItem } from '../driver.js';
import { ItemQueue } from '../item-queue.js';
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
      return new Watched(driver.items(), settled, options.live);
    },
    close: () => driver.close(),
  };
}

type Next = IteratorResult<GaugeItem, undefined>;

/**
 * The items of a gauge and the faults found in them. This is the path of every reading: what waits already is handed on
 * at once, and only an empty line is waited for.
 */
class Watched implements AsyncIterableIterator<GaugeItem, undefined> {
  readonly #source: AsyncIterator<GaugeItem>;
  readonly #queue: ItemQueue | undefined;
  readonly #limits: SupervisionLimits;
  readonly #live: boolean;
  #state: SupervisionState = supervisionStart;
  /** Faults that stand behind the item handed out last. */
  #faults: GaugeFault[] = [];
  /** A wait that ticks went by in: it still gets the next item. */
  #open: Promise<IteratorResult<GaugeItem>> | undefined;
  #clockUs = 0;
  #clockAtMs = performance.now();
  #timer: NodeJS.Timeout | undefined;
  #wake: ((tick: 'tick') => void) | undefined;

  constructor(items: AsyncIterable<GaugeItem>, limits: SupervisionLimits, live: boolean) {
    this.#source = items[Symbol.asyncIterator]();
    this.#queue = items instanceof ItemQueue ? items : undefined;
    this.#limits = limits;
    this.#live = live;
  }

  [Symbol.asyncIterator](): this {
    return this;
  }

  next(): Promise<Next> {
    const fault = this.#faults.length === 0 ? undefined : this.#faults.shift();
    if (fault) return Promise.resolve(handedOut({ kind: 'fault', fault }));
    const item = this.#open ? undefined : this.#queue?.takeNow();
    return item ? Promise.resolve(this.#pass(item)) : this.#wait();
  }

  /** Not waited for: whoever leaves is not held up by the instrument. */
  async return(): Promise<Next> {
    this.#stop();
    void this.#source.return?.();
    return { done: true, value: undefined };
  }

  async #wait(): Promise<Next> {
    if (this.#live) this.#timer ??= setInterval(() => this.#wake?.('tick'), tickMs);
    this.#open ??= this.#source.next();
    try {
      for (;;) {
        const got = this.#live ? await this.#nextOrTick(this.#open) : await this.#open;
        if (got !== 'tick') {
          this.#open = undefined;
          if (!got.done) return this.#pass(got.value);
          this.#stop();
          return { done: true, value: undefined };
        }
        const nowUs = this.#clockUs + Math.round((performance.now() - this.#clockAtMs) * 1000);
        this.#look({ kind: 'tick', timeUs: nowUs });
        const fault = this.#faults.shift();
        if (fault) return handedOut({ kind: 'fault', fault });
      }
    } catch (cause) {
      this.#stop();
      throw cause;
    }
  }

  #pass(item: GaugeItem): Next {
    if (this.#live) {
      this.#clockUs = Math.max(this.#clockUs, timeOf(item));
      this.#clockAtMs = performance.now();
    }
    this.#look(item);
    return handedOut(item);
  }

  #look(input: SupervisionInput): void {
    const outcome = supervise(this.#state, input, this.#limits);
    this.#state = outcome.state;
    if (outcome.faults.length > 0) this.#faults.push(...outcome.faults);
  }

  #nextOrTick(next: Promise<IteratorResult<GaugeItem>>): Promise<IteratorResult<GaugeItem> | 'tick'> {
    return new Promise((resolve, reject) => {
      this.#wake = resolve;
      next.then(resolve, reject);
    });
  }

  #stop(): void {
    clearInterval(this.#timer);
    this.#timer = undefined;
  }
}

const handedOut = (value: GaugeItem): Next => ({ done: false, value });

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
