import type { GaugeItem } from '../../gauge/index.js';
import { DwellmarkError } from '../../units/index.js';

const patienceMs = 5000;
/** So many bad lines and no reading: waiting longer helps nobody. */
const enoughBadLines = 20;

interface Outcome {
  readonly silent: boolean;
  readonly lastBadLine: string | null;
}

/** Hands on items until `take` says enough, the source ends, or no reading has come for five seconds
 * or twenty lines. Closes the driver. */
export async function eachItem(
  driver: { items(): AsyncIterable<GaugeItem>; close(): Promise<void> },
  take: (item: GaugeItem) => boolean,
): Promise<Outcome> {
  let silent = false;
  let lastBadLine: string | null = null;
  let badLines = 0;
  const giveUp = (): void => {
    silent = true;
    void driver.close();
  };
  let timer = setTimeout(giveUp, patienceMs);
  try {
    for await (const item of driver.items()) {
      if (item.kind === 'line' && !item.accepted) {
        lastBadLine = item.text;
        badLines += 1;
        if (badLines === enoughBadLines) giveUp();
      }
      if (item.kind === 'reading') {
        badLines = 0;
        lastBadLine = null;
        clearTimeout(timer);
        timer = setTimeout(giveUp, patienceMs);
      }
      if (!take(item)) break;
    }
  } finally {
    clearTimeout(timer);
    await driver.close();
  }
  return { silent, lastBadLine };
}

/** @param badLine what came instead of readings, when something did. */
export const saysNothing = (what: string, badLine: string | null): DwellmarkError =>
  badLine === null
    ? new DwellmarkError('gauge', `gauge ${what} gave nothing for ${patienceMs / 1000} s`, {
        advice: 'Is it on, and does it send? Look at cable, path and baud_rate in its [gauge.line].',
      })
    : new DwellmarkError('gauge', `gauge ${what} sends lines that are no readings: ${JSON.stringify(badLine)}`, {
        advice: 'Look at pattern, unit and baud_rate in its [gauge.line].',
      });
