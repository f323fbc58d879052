import { findShop, gaugeOfShop, openGauge } from '../../bench/index.js';
import type { GaugeFault, GaugeItem, Reading } from '../../gauge/index.js';
import { seenSignal } from '../../gauge/index.js';
import { DwellmarkError } from '../../units/index.js';
import type { CommonOptions } from '../common-options.js';
import { remark, say, sayJson } from '../output.js';
import { readingText, scaleOf, seenText } from '../report/gauge-text.js';

export interface GaugeReadOptions extends CommonOptions {
  readonly count?: number;
}

const countWithoutTerminal = 10;
/** So many readings are looked at for rate and noise while it runs on. */
const lookedAt = 200;
const patienceMs = 5000;
/** So many bad lines and no reading: waiting longer helps nobody. */
const enoughBadLines = 20;

/**
 * `dwellmark gauge read`: what the gauge says just now, with its rate, jitter, noise and resolution as seen. On a
 * terminal one line that lives until Ctrl-C; with `--count`, or with no terminal, a line a reading.
 */
export async function run(serial: string, options: GaugeReadOptions): Promise<void> {
  const shop = findShop(options.shop);
  const known = gaugeOfShop(shop, serial);
  const { spec } = known;
  const scale = scaleOf(spec);
  const inPlace = options.count === undefined && !options.json && process.stdout.isTTY === true;
  const count = options.count ?? (inPlace ? Number.POSITIVE_INFINITY : countWithoutTerminal);
  const { driver, description } = await openGauge(spec, known, shop);
  const close = (): void => void driver.close();
  process.once('SIGINT', close);
  const readings: Reading[] = [];
  const faults: GaugeFault[] = [];
  remark(`${spec.serial}: ${description.source}${inPlace ? '; Ctrl-C ends' : ''}`);
  const outcome = await eachItem(driver, (item) => {
    if (item.kind === 'fault') {
      faults.push(item.fault);
      remark(`${inPlace ? '\r\u001b[K' : ''}${item.fault.effect}: ${item.fault.text}`);
    }
    if (item.kind !== 'reading') return true;
    readings.push(item.reading);
    if (inPlace && readings.length > lookedAt) readings.shift();
    const text = readingText(item.reading, scale, description.channels);
    if (inPlace) process.stdout.write(`\r\u001b[K${text}   ${seenText(seenSignal(readings), scale, null)}`);
    else if (!options.json) say(`${(item.reading.timeUs / 1e6).toFixed(3).padStart(9)} s  ${text}`);
    return readings.length < count;
  });
  process.off('SIGINT', close);
  if (outcome.silent) throw saysNothing(serial, outcome.lastBadLine);
  const seen = seenSignal(readings);
  if (options.json) return sayJson({ gauge: serial, source: description.source, readings, faults, seen });
  say(`${inPlace ? '\n' : ''}${seenText(seen, scale, spec.resolutionPa)}`);
}

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
