import type { HeardGauge } from '../../../drivers/serial/index.js';
import { addGaugeToShop, findShop, type GaugeEntry, gaugeText, listedAlready, type Shop } from '../../bench/index.js';
import { readGauge } from '../../procedure/index.js';
import { openStore } from '../../record/index.js';
import { DwellmarkError } from '../../units/index.js';
import { ask, confirm } from '../ask.js';
import type { CommonOptions } from '../common-options.js';
import { remark, say, sayJson } from '../output.js';
import { choosePort } from './gauge-port.js';
import { type HeardProposal, showTenReadings } from './gauge-trial.js';

export interface GaugeAddOptions extends CommonOptions {
  readonly path?: string;
  readonly baud?: number;
  readonly unit?: string;
  readonly pattern?: string;
  readonly serial?: string;
  readonly maker?: string;
  readonly model?: string;
  readonly range?: string;
  readonly resolution?: string;
  readonly accuracy?: string;
  readonly yes?: boolean;
}

/**
 * `dwellmark gauge add`: listens to an unknown gauge, proposes how its lines are read, shows ten live readings beside
 * the raw lines, and writes what was confirmed into the shop file and the ledger.
 */
export async function run(options: GaugeAddOptions): Promise<void> {
  const shop = findShop(options.shop);
  demandNew(shop, options.serial);
  const path = options.path ?? (await choosePort(options.yes === true));
  const heard = await hear(path, options);
  const line = await lineTable(path, heard, options);
  await showTenReadings(line, heard.proposal.step);
  if (!options.yes && !(await confirm('Does the display of the gauge show the same?', '--yes')))
    throw new DwellmarkError('refused', 'not confirmed: nothing was written', {
      advice: 'Try --unit, or write the line yourself: --pattern "{pressure} {unit}".',
    });
  const entry = await entryOf(line, heard, options);
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

async function hear(path: string, options: GaugeAddOptions): Promise<HeardProposal> {
  const { listenForGauge, usualLineSettings } = await import('../../../drivers/serial/index.js');
  const { baud, unit } = options;
  const lineSettings = baud === undefined ? usualLineSettings : [{ ...usualBaud, baudRate: baud }];
  const heard: HeardGauge | undefined = await listenForGauge(path, {
    lineSettings,
    ...(unit === undefined ? {} : { unit }),
    onTry: ({ baudRate, dataBits, parity, stopBits }) =>
      remark(`listening at ${baudRate} baud ${dataBits}${parity.charAt(0).toUpperCase()}${stopBits} ...`),
  });
  if (heard?.proposal) return { ...heard, proposal: heard.proposal };
  throw new DwellmarkError('gauge', `nothing that can be read came from ${path}`, {
    advice:
      'Is the gauge on and set to send? One that must be asked gets a [[gauge]] table by hand: driver ascii-poll or modbus-rtu.',
  });
}

const usualBaud = { dataBits: 8, parity: 'none', stopBits: 1 } as const;

/** The `[gauge.line]` table: what was heard, and what was said better on the command line. */
async function lineTable(path: string, heard: HeardProposal, options: GaugeAddOptions): Promise<GaugeEntry['line']> {
  const { settings, unitSeen } = heard.proposal;
  const { baudRate, dataBits, parity, stopBits } = heard.line;
  if (!unitSeen) remark('The lines carry no unit.');
  const assumed = unitSeen || options.unit !== undefined;
  if (!assumed && options.yes)
    throw new DwellmarkError('usage', 'the lines carry no unit', { advice: 'Give it with --unit, for example psi.' });
  const unit = assumed ? settings.unit : await ask('Unit on the display of the gauge', '--unit', settings.unit);
  return {
    path,
    baud_rate: baudRate,
    ...(dataBits === 8 ? {} : { data_bits: dataBits }),
    ...(parity === 'none' ? {} : { parity }),
    ...(stopBits === 1 ? {} : { stop_bits: stopBits }),
    ...(heard.terminator === '\n' ? {} : { terminator: heard.terminator }),
    pattern: options.pattern ?? settings.pattern,
    unit,
    ...(settings.oilUnit === undefined ? {} : { oil_unit: settings.oilUnit }),
    ...(settings.decimal === undefined ? {} : { decimal: settings.decimal }),
    ...(settings.checksum === undefined ? {} : { checksum: settings.checksum }),
  };
}

/** What the gauge is; the resolution is taken from the digits it sends. */
async function entryOf(
  line: GaugeEntry['line'],
  { proposal }: HeardProposal,
  options: GaugeAddOptions,
): Promise<GaugeEntry> {
  const step = `${proposal.step} ${line.unit}`;
  const given = async (key: 'serial' | 'range' | 'accuracy', question: string): Promise<string> => {
    const text = options[key];
    if (text !== undefined) return text;
    if (options.yes)
      throw new DwellmarkError('usage', `${question}: --yes asks nothing`, { advice: `Give it with --${key}.` });
    return ask(question, `--${key}`);
  };
  const { maker, model } = options;
  return {
    serial: await given('serial', 'Serial number on the gauge'),
    ...(maker === undefined ? {} : { maker }),
    ...(model === undefined ? {} : { model }),
    range: await given('range', `Range, for example "0..400 ${line.unit}"`),
    resolution:
      options.resolution ??
      (options.yes ? step : await ask('Resolution, one step of its last digit', '--resolution', step)),
    accuracy: await given('accuracy', 'Accuracy, for example "0.25 %FS"'),
    driver: 'ascii-stream',
    line,
  };
}

function specFields(entry: GaugeEntry): Omit<GaugeEntry, 'driver' | 'line'> {
  const { driver: _driver, line: _line, ...fields } = entry;
  return fields;
}
