import { addGaugeToShop, findShop, type GaugeEntry, gaugeText, listedAlready, type Shop } from '../../bench/index.js';
import { parsePressureRange, readGauge } from '../../procedure/index.js';
import { openStore } from '../../record/index.js';
import { DwellmarkError, valueIn } from '../../units/index.js';
import { ask, choose, confirm } from '../ask.js';
import { remark, say, sayJson } from '../output.js';
import { askedGauge } from '../set-up/asked-gauge.js';
import { type FoundGauge, type GaugeAddOptions, given } from '../set-up/found-gauge.js';
import { modbusGauge } from '../set-up/modbus-gauge.js';
import { talkingGauge } from '../set-up/talking-gauge.js';
import { choosePort } from './gauge-port.js';
import { showTenReadings } from './gauge-trial.js';

/**
 * `dwellmark gauge add`: listens to an unknown gauge, or asks it, proposes how it is read, shows ten live readings
 * beside what came over the wire, and writes what was confirmed into the shop file and the ledger.
 */
export async function run(options: GaugeAddOptions): Promise<void> {
  const shop = findShop(options.shop);
  demandNew(shop, options.serial);
  const path = options.path ?? (await choosePort(options.yes === true));
  const found = await findGauge(path, options);
  await showTenReadings(found);
  if (!options.yes && !(await confirm('Does the display of the gauge show the same?', '--yes')))
    throw new DwellmarkError('refused', 'not confirmed: nothing was written', {
      advice: 'Try --unit, or write the line yourself: --pattern "{pressure} {unit}".',
    });
  const entry = await entryOf(found, options);
  const spec = readGauge(specFields(entry));
  demandNew(shop, entry.serial);
  if (!options.yes) {
    remark(`\n${gaugeText(entry)}`);
    if (!(await confirm(`Write this into ${shop.file}?`, '--yes')))
      throw new DwellmarkError('refused', 'not confirmed: nothing was written');
  }
  const store = openStore(shop.database, { mode: 'write' });
  try {
    addGaugeToShop(shop, entry);
    const { position } = store.addGauge({ spec, driver: { name: entry.driver, ...entry.line } });
    if (options.json) return sayJson({ gauge: entry, shop: shop.file, ledger: position });
    const named = JSON.stringify(entry.serial);
    say(`Gauge ${entry.serial} is in ${shop.file} and in the ledger, line ${position}.`);
    say(`Next: dwellmark gauge read ${named}, dwellmark gauge calibrate ${named}`);
  } finally {
    store.close();
  }
}

function demandNew(shop: Shop, serial: string | undefined): void {
  if (serial !== undefined && shop.gauges.some(({ spec }) => spec.serial === serial)) throw listedAlready(shop, serial);
}

const waysToRead = ['it answers a text command', 'it speaks Modbus RTU'] as const;

/** By the driver that was named, else by listening first: a gauge that talks by itself needs nothing typed. */
async function findGauge(path: string, options: GaugeAddOptions): Promise<FoundGauge> {
  if (options.driver === 'modbus-rtu') return onModbus(path, options);
  if (options.driver === 'ascii-poll') return askedGauge(path, options);
  const talking = await talkingGauge(path, options);
  if (talking) return talking;
  if (options.yes || options.driver === 'ascii-stream' || !process.stdin.isTTY)
    throw new DwellmarkError('gauge', `nothing that can be read came from ${path}`, {
      advice: 'Is the gauge on and set to send? One that must be asked: --driver ascii-poll or --driver modbus-rtu.',
    });
  remark('Nothing that can be read came by itself: it may want to be asked.');
  const way = await choose('How is it read?', waysToRead, '--driver');
  return way === 'it speaks Modbus RTU' ? onModbus(path, options) : askedGauge(path, options);
}

/** On Modbus the range comes first: it tells which word order is plausible. */
async function onModbus(path: string, options: GaugeAddOptions): Promise<FoundGauge> {
  const text = await rangeOf(options, options.unit ?? 'bar');
  const { lowPa, highPa, unit } = parsePressureRange(text);
  const inUnit = (pa: number): number => valueIn(pa, 'pressure', options.unit ?? unit);
  const range = { low: inUnit(lowPa), high: inUnit(highPa), unit: options.unit ?? unit };
  return { ...(await modbusGauge(path, options, range)), range: text };
}

const rangeOf = ({ range, yes }: GaugeAddOptions, unit: string): Promise<string> =>
  given(range, {
    question: `Range, for example "0..400 ${unit}"`,
    option: '--range',
    ...(yes === undefined ? {} : { yes }),
  });

/** What the gauge is; the resolution is taken from the digits it sends. */
async function entryOf({ driver, line, step, range }: FoundGauge, options: GaugeAddOptions): Promise<GaugeEntry> {
  const asksNothing = options.yes === undefined ? {} : { yes: options.yes };
  const unit = String(line.unit);
  const { maker, model } = options;
  return {
    serial: await given(options.serial, { question: 'Serial number on the gauge', option: '--serial', ...asksNothing }),
    ...(maker === undefined ? {} : { maker }),
    ...(model === undefined ? {} : { model }),
    range: range ?? (await rangeOf(options, unit)),
    resolution: await resolutionOf(step === null ? null : `${Number(step.toPrecision(6))} ${unit}`, options),
    accuracy: await given(options.accuracy, {
      question: 'Accuracy, for example "0.25 %FS"',
      option: '--accuracy',
      ...asksNothing,
    }),
    driver,
    line,
  };
}

async function resolutionOf(step: string | null, { resolution, yes }: GaugeAddOptions): Promise<string> {
  if (resolution !== undefined) return resolution;
  const question = 'Resolution, one step of its last digit';
  if (!yes) return ask(question, '--resolution', step ?? '');
  if (step !== null) return step;
  throw new DwellmarkError('usage', `${question}: its readings don't tell`, { advice: 'Give it with --resolution.' });
}

function specFields(entry: GaugeEntry): Omit<GaugeEntry, 'driver' | 'line'> {
  const { driver: _driver, line: _line, ...fields } = entry;
  return fields;
}
