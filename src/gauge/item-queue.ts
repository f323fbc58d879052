import type { GaugeItem } from './driver.js';

/** Items that can be taken as fast as they lie there, and waited for only when none does. */
export interface ReadyItems extends AsyncIterable<GaugeItem> {
  /** The next item when one waits already. Not while a `next()` is open. */
  takeNow(): GaugeItem | undefined;
}

/** The items of a driver that can hand out more than one a wait; null for one that can't. */
export const readyItems = (items: AsyncIterable<GaugeItem>): ReadyItems | null =>
  'takeNow' in items ? (items as ReadyItems) : null;

/**
 * Items on their way from an instrument to the one who iterates. A consumer that falls behind does not cost memory
 * without end: above `highWater` waiting items `onFull` is called (stop reading the port), and `onDrained` below half.
 */
export class ItemQueue implements ReadyItems {
  #items: GaugeItem[] = [];
  #next = 0;
  #ended = false;
  #full = false;
  #wake: (() => void) | undefined;
  readonly #highWater: number;
  readonly #onFull: () => void;
  readonly #onDrained: () => void;

  constructor(options: { highWater?: number; onFull?: () => void; onDrained?: () => void } = {}) {
    this.#highWater = options.highWater ?? 10_000;
    this.#onFull = options.onFull ?? (() => {});
    this.#onDrained = options.onDrained ?? (() => {});
  }

  get waiting(): number {
    return this.#items.length - this.#next;
  }

  push(item: GaugeItem): void {
    if (this.#ended) return;
    this.#items.push(item);
    if (!this.#full && this.waiting > this.#highWater) {
      this.#full = true;
      this.#onFull();
    }
    this.#call();
  }

  takeNow(): GaugeItem | undefined {
    const item = this.#items[this.#next];
    return item === undefined ? undefined : this.#advance(item);
  }

  #call(): void {
    const wake = this.#wake;
    this.#wake = undefined;
    wake?.();
  }

  /** No more will come; what waits is still handed out. */
  end(): void {
    this.#ended = true;
    this.#call();
  }

  [Symbol.asyncIterator](): AsyncIterator<GaugeItem, undefined> {
    return { next: () => this.#take(), return: async () => ({ done: true, value: undefined }) };
  }

  #take(): Promise<IteratorResult<GaugeItem, undefined>> {
    const item = this.takeNow();
    if (item !== undefined) return Promise.resolve({ done: false, value: item });
    if (this.#ended) return Promise.resolve({ done: true, value: undefined });
    return new Promise<void>((resolve) => {
      this.#wake = resolve;
    }).then(() => this.#take());
  }

  #advance(item: GaugeItem): GaugeItem {
    this.#next += 1;
    if (this.#next >= 1024) {
      this.#items = this.#items.slice(this.#next);
      this.#next = 0;
    }
    if (this.#full && this.waiting <= this.#highWater / 2) {
      this.#full = false;
      this.#onDrained();
    }
    return item;
  }
}
