import type { GaugeDriver, GaugeFaultCode, GaugeItem, Reading } from '../../src/gauge/index.js';

/** Items of a running driver as they come, to look at and to wait for. */
export class Collected {
  readonly items: GaugeItem[] = [];
  readonly done: Promise<void>;
  #wake: (() => void)[] = [];

  constructor(driver: GaugeDriver) {
    this.done = this.#run(driver);
  }

  async #run(driver: GaugeDriver): Promise<void> {
    for await (const item of driver.items()) {
      this.items.push(item);
      for (const wake of this.#wake.splice(0)) wake();
    }
    for (const wake of this.#wake.splice(0)) wake();
  }

  get readings(): Reading[] {
    return this.items.flatMap((item) => (item.kind === 'reading' ? [item.reading] : []));
  }

  get faults(): { code: GaugeFaultCode; text: string; effect: string; timeUs: number }[] {
    return this.items.flatMap((item) => (item.kind === 'fault' ? [item.fault] : []));
  }

  get lines(): { text: string; accepted: boolean }[] {
    return this.items.flatMap((item) => (item.kind === 'line' ? [{ text: item.text, accepted: item.accepted }] : []));
  }

  get pressuresPa(): (number | null)[] {
    return this.readings.map((reading) => reading.pressurePa);
  }

  /** Resolves when the condition holds. @throws Error after `withinMs`, naming what has come. */
  async until(condition: () => boolean, withinMs = 5000): Promise<void> {
    const deadline = Date.now() + withinMs;
    while (!condition()) {
      const left = deadline - Date.now();
      if (left <= 0) throw new Error(`waited in vain; last items: ${JSON.stringify(this.items.slice(-5))}`);
      let timer: NodeJS.Timeout | undefined;
      await Promise.race([
        new Promise<void>((resolve) => this.#wake.push(resolve)),
        new Promise<void>((resolve) => {
          timer = setTimeout(resolve, left);
        }),
      ]);
      clearTimeout(timer);
    }
  }
}
