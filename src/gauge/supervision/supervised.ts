import { uptime } from 'node:os';
import type { GaugeDescription, GaugeDriver, GaugeFault, GaugeItem } from '../driver.js';
import { type ReadyItems, readyItems } from '../item-queue.js';
import type { SupervisionLimits } from './limits.js';
import type { SupervisionInput } from './rule.js';
import { type SupervisionState, supervise, supervisionStart } from './supervise.js';

const tickMs = 100;
const latestTickMs = 5 * tickMs;
/** The computer's own uptime goes on while it sleeps, which its monotonic clock does not everywhere. */
const sleptLongerMs = 1500;
/** The clocks are held together again no more often than this: to ask the system for the time costs more than a reading. */
const clockStepUs = 1000;

interface SupervisionOptions {
  readonly live: boolean;
  /** How long this computer has been asleep, from any start; its own figure when absent. */
  readonly asleepMs?: () => number;
}

/**
 * A driver with supervision on: the same items, and right behind each the faults found in it. With `live`, time also
 * passes while nothing comes, so that silence is told when it is long enough and not when it is over; a recorded
 * log needs no clock.
 */
export function supervised(
  driver: GaugeDriver,
  limits: SupervisionLimits | ((description: GaugeDescription) => SupervisionLimits),
  { live, asleepMs = asleepSoFarMs }: SupervisionOptions = { live: true },
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
      return new Watched(driver.items(), settled, live ? asleepMs : null);
    },
    close: () => driver.close(),
  };
}

type Next = IteratorResult<GaugeItem, undefined>;

/**
 * The items of a gauge and the faults found in them. This is the path of every reading: what waits already is handed on
 * at once, and only an empty line is waited for.
 */
class Watched implements AsyncIterableIterator<GaugeItem, undefined>, ReadyItems {
  readonly #source: AsyncIterator<GaugeItem>;
  readonly #ready: ReadyItems | null;
  readonly #limits: SupervisionLimits;
  readonly #live: boolean;
  readonly #state: SupervisionState = supervisionStart();
  /** Faults that stand behind the item handed out last. */
  #faults: GaugeFault[] = [];
  /** A wait that ticks went by in: it still gets the next item. */
  #open: Promise<IteratorResult<GaugeItem>> | undefined;
  #clockUs = -clockStepUs;
  #clockAtMs = performance.now();
  #timer: NodeJS.Timeout | undefined;
  /** What the computer has slept since the start: the gauge's clock, this computer's monotonic one, stood still then. */
  #sleptUs = 0;
  readonly #asleepMs: () => number;
  readonly #asleepBeforeMs: number;
  #wake: ((tick: 'tick') => void) | undefined;

  constructor(items: AsyncIterable<GaugeItem>, limits: SupervisionLimits, asleepMs: (() => number) | null) {
    this.#source = items[Symbol.asyncIterator]();
    this.#ready = readyItems(items);
    this.#limits = limits;
    this.#live = asleepMs !== null;
    this.#asleepMs = asleepMs ?? (() => 0);
    this.#asleepBeforeMs = this.#asleepMs();
  }

  [Symbol.asyncIterator](): this {
    return this;
  }

  next(): Promise<Next> {
    const item = this.takeNow();
    return item ? Promise.resolve({ done: false, value: item }) : this.#wait();
  }

  takeNow(): GaugeItem | undefined {
    if (this.#faults.length > 0) return this.#nextFault();
    if (this.#open) return undefined;
    const item = this.#ready?.takeNow();
    return item && this.#pass(item);
  }

  /** Not waited for: whoever leaves is not held up by the instrument. */
  async return(): Promise<Next> {
    this.#stop();
    void this.#source.return?.();
    return { done: true, value: undefined };
  }

  async #wait(): Promise<Next> {
    if (this.#live) this.#startTicking();
    this.#open ??= this.#source.next();
    try {
      for (;;) {
        const got = this.#live ? await this.#nextOrTick(this.#open) : await this.#open;
        if (got !== 'tick') {
          this.#open = undefined;
          if (!got.done) return { done: false, value: this.#pass(got.value) };
          this.#stop();
          return { done: true, value: undefined };
        }
        const nowUs = this.#clockUs + Math.round((performance.now() - this.#clockAtMs) * 1000);
        this.#look({ kind: 'tick', timeUs: nowUs });
        const fault = this.#nextFault();
        if (fault) return { done: false, value: fault };
      }
    } catch (cause) {
      this.#stop();
      throw cause;
    }
  }

  #pass(came: GaugeItem): GaugeItem {
    const item = this.#sleptUs === 0 ? came : later(came, this.#sleptUs);
    if (this.#live) {
      const timeUs = timeOf(item);
      if (timeUs - this.#clockUs >= clockStepUs) {
        this.#clockUs = timeUs;
        this.#clockAtMs = performance.now();
      }
    }
    this.#look(item);
    return item;
  }

  /** Time goes on while the computer sleeps, for the oil too: the readings after it stand as much later. */
  #noticeSleep(): void {
    const sleptUs = Math.round(this.#asleepMs() - this.#asleepBeforeMs) * 1000;
    if (sleptUs - this.#sleptUs < sleptLongerMs * 1000) return;
    this.#clockUs += sleptUs - this.#sleptUs;
    this.#sleptUs = sleptUs;
  }

  #look(input: SupervisionInput): void {
    const faults = supervise(this.#state, input, this.#limits);
    if (faults.length > 0) this.#faults.push(...faults);
  }

  #nextFault(): GaugeItem | undefined {
    const fault = this.#faults.shift();
    return fault && { kind: 'fault', fault };
  }

  #nextOrTick(next: Promise<IteratorResult<GaugeItem>>): Promise<IteratorResult<GaugeItem> | 'tick'> {
    return new Promise((resolve, reject) => {
      this.#wake = resolve;
      next.then(resolve, reject);
    });
  }

  /** A tick that comes late says that this program was held up: what came in meanwhile is read before time is told. */
  #startTicking(): void {
    let tickedAtMs = performance.now();
    this.#timer ??= setInterval(() => {
      const nowMs = performance.now();
      const late = nowMs - tickedAtMs > latestTickMs;
      tickedAtMs = nowMs;
      this.#noticeSleep();
      if (!late) this.#wake?.('tick');
    }, tickMs);
  }

  #stop(): void {
    clearInterval(this.#timer);
    this.#timer = undefined;
  }
}

const asleepSoFarMs = (): number => uptime() * 1000 - performance.now();

function later(item: GaugeItem, byUs: number): GaugeItem {
  switch (item.kind) {
    case 'reading':
      return { ...item, reading: { ...item.reading, timeUs: item.reading.timeUs + byUs } };
    case 'line':
      return { ...item, timeUs: item.timeUs + byUs };
    case 'fault':
      return { ...item, fault: { ...item.fault, timeUs: item.fault.timeUs + byUs } };
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
