import { addToShop, demandNew, findShop, type NewInstrument, tableText } from '../../bench/index.js';
import { compilePattern, readTemperatureUnit } from '../../gauge/index.js';
import { parseAccuracy, readGauge, readProbe } from '../../procedure/index.js';
import { openStore, type Store } from '../../record/index.js';
import { DwellmarkError, unitSystems } from '../../units/index.js';
import { choose, confirm } from '../ask.js';
import { remark, say, sayJson } from '../output.js';
import { askedGauge } from '../set-up/asked-gauge.js';
import { type FoundGauge, type GaugeAddOptions, given } from '../set-up/found-gauge.js';
import { measuredAsSaid, measuredIn } from '../set-up/measured.js';
import { modbusGauge } from '../set-up/modbus-gauge.js';
import { modbusProbe } from '../set-up/modbus-probe.js';
import { shopEntry } from '../set-up/shop-entry.js';
import { talkingGauge } from '../set-up/talking-gauge.js';
import { choosePort } from './gauge-port.js';
import { showTenReadings } from './gauge-trial.js';

/**
 * `dwellmark gauge add`: listens to an unknown gauge or oil probe, or asks it, proposes how it is read, shows ten live
 * readings beside what came over the wire, and writes what was confirmed into the shop file and the ledger.
 */
export async function run(options: GaugeAddOptions): Promise<void> {
  const shop = findShop(options.shop);
  if (options.serial !== undefined) demandNew(shop, options.serial);
  demandSense(options);
  const path =
    options.driver === 'modbus-tcp'
      ? await gateway(options)
      : (options.path ?? (await choosePort(options.yes === true)));
  const found = await findGauge(path, options);
  await showTenReadings(found, { demandValue: options.yes === true, system: unitSystems[shop.units] });
  if (!options.yes && !(await confirm(sameAs[found.measures], '--yes')))
    throw new DwellmarkError('refused', 'not confirmed: nothing was written', {
      advice: 'Try --unit, or write the line yourself: --pattern "{pressure} {unit}".',
    });
  const added = await shopEntry(found, options, shop);
  if (!options.yes) {
    remark(`\n${tableText(added)}`);
    if (!(await confirm(`Write this into ${shop.file}?`, '--yes')))
      throw new DwellmarkError('refused', 'not confirmed: nothing was written');
  }
  const store = openStore(shop.database, { mode: 'write' });
  try {
    addToShop(shop, added);
    const { position } = enter(store, added);
    const { kind, entry } = added;
    if (options.json) return sayJson({ [kind]: entry, shop: shop.file, ledger: position });
    const named = JSON.stringify(entry.serial);
    const isProbe = kind === 'probe';
    say(`${isProbe ? 'Oil probe' : 'Gauge'} ${entry.serial} is in ${shop.file} and in the ledger, line ${position}.`);
    if (isProbe) say(`A job has it measured along with oil_probe = ${named}.`);
    say(`Next: dwellmark gauge read ${named}, dwellmark gauge calibrate ${named}`);
  } finally {
    store.close();
  }
}

/** No gateway shows by itself: it has to be named. */
const gateway = ({ path, yes }: GaugeAddOptions): Promise<string> =>
  given(path, { question: 'Host and port of the gateway, for example "192.168.1.50:502"', option: '--path', yes });

/** What was said beforehand is looked at before anything is listened to. */
function demandSense(options: GaugeAddOptions): void {
  const { path, pattern, accuracy } = options;
  if (path?.trim() === '')
    throw new DwellmarkError('usage', '--path names no port', { advice: '`dwellmark gauge list` shows the ports.' });
  const said = measuredAsSaid(options);
  if (pattern !== undefined) compilePattern(pattern);
  if (accuracy !== undefined) demandAccuracy(accuracy, said?.measures);
}

/** Of a gauge, or else of an oil probe: which one it is may show only when it is heard. */
function demandAccuracy(accuracy: string, measures?: FoundGauge['measures']): void {
  if (measures === 'pressure') return void parseAccuracy(accuracy);
  try {
    readProbe({ serial: 'not yet known', accuracy });
  } catch (cause) {
    if (measures === 'oil') throw cause;
    parseAccuracy(accuracy);
  }
}

const sameAs = {
  pressure: 'Does the display of the gauge show the same?',
  oil: 'Does the display of the probe, or a thermometer beside it, show the same?',
};

function enter(store: Store, { kind, entry }: NewInstrument): { readonly position: number } {
  const { driver: name, line, ...fields } = entry;
  const driver = { name, ...line };
  return kind === 'probe'
    ? store.addProbe({ spec: readProbe(fields), driver })
    : store.addGauge({ spec: readGauge(fields), driver });
}

const waysToRead = ['it answers a text command', 'it speaks Modbus RTU'] as const;

/** By the driver that was named, else by listening first: a gauge that talks by itself needs nothing typed. */
async function findGauge(path: string, options: GaugeAddOptions): Promise<FoundGauge> {
  if (options.driver === 'modbus-rtu' || options.driver === 'modbus-tcp') return onModbus(path, options);
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

/**
 * On Modbus the range comes first: it tells whether a pressure or the temperature of a probe is looked for, and which
 * word order is plausible. An oil probe that is known by its unit needs none.
 */
async function onModbus(path: string, options: GaugeAddOptions): Promise<FoundGauge> {
  const said = measuredAsSaid(options);
  if (said?.measures === 'oil') return modbusProbe(path, options, said.unit);
  const probeUnit = (text: string) => (options.unit === undefined ? readTemperatureUnit(text) : undefined);
  const example = `0..400 ${options.unit ?? 'bar'}`;
  const ofProbe = options.unit === undefined ? '; of an oil probe "-20..120 C", or its unit alone' : '';
  const range = await given(options.range, {
    question: `Range, for example "${example}"${ofProbe}`,
    option: '--range',
    yes: options.yes,
    check: (text) => probeUnit(text) ?? measuredAsSaid({ ...options, range: text }),
  });
  const alone = probeUnit(range);
  if (alone !== undefined) return modbusProbe(path, options, alone);
  const { measures, unit } = measuredIn(range);
  return measures === 'oil'
    ? { ...(await modbusProbe(path, options, unit)), range }
    : modbusGauge(path, options, range);
}
