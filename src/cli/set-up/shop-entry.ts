import { demandNew, type GaugeEntry, type NewInstrument, type ProbeEntry, type Shop } from '../../bench/index.js';
import { parsePressureRange, readGauge, readProbe } from '../../procedure/index.js';
import { DwellmarkError } from '../../units/index.js';
import { type FoundGauge, type GaugeAddOptions, given } from './found-gauge.js';

/** What an instrument is, as far as nobody said it beforehand: asked, and written as it stands in the shop file. */
export async function shopEntry(found: FoundGauge, options: GaugeAddOptions, shop: Shop): Promise<NewInstrument> {
  const { maker, model, yes } = options;
  const check = (serial: string): void => demandSerial(serial, shop);
  const asked = { question: `Serial number on the ${nameOf(found)}`, option: '--serial', yes, check };
  const named = {
    serial: await given(options.serial, asked),
    ...(maker === undefined ? {} : { maker }),
    ...(model === undefined ? {} : { model }),
  };
  return found.measures === 'oil'
    ? { kind: 'probe', entry: await probeEntry(named, found, options) }
    : { kind: 'gauge', entry: await gaugeEntry(named, found, options) };
}

const nameOf = ({ measures }: FoundGauge): string => (measures === 'oil' ? 'probe' : 'gauge');

function demandSerial(serial: string, shop: Shop): void {
  if (serial.trim() === '')
    throw new DwellmarkError('usage', 'a gauge is known by its serial number', {
      advice: 'Without one, give it a name of your own and mark it with that.',
    });
  demandNew(shop, serial);
}

type Named = Pick<GaugeEntry, 'serial' | 'maker' | 'model'>;

/** The resolution is taken from the digits it sends. */
async function gaugeEntry(named: Named, found: FoundGauge, options: GaugeAddOptions): Promise<GaugeEntry> {
  const { driver, line, step } = found;
  const unit = String(line.unit);
  const range = found.range ?? (await pressureRange(options, unit));
  const resolution = await resolutionOf(
    step === null ? null : `${Number(step.toPrecision(6))} ${unit}`,
    options,
    (text) => readGauge({ ...named, range, resolution: text, accuracy: '0.25 %FS' }),
  );
  const accuracy = await given(options.accuracy, {
    question: 'Accuracy, for example "0.25 %FS"',
    option: '--accuracy',
    yes: options.yes,
    check: (text) => readGauge({ ...named, range, resolution, accuracy: text }),
  });
  return { ...named, range, resolution, accuracy, driver, line };
}

const pressureRange = ({ range, yes }: GaugeAddOptions, unit: string): Promise<string> =>
  given(range, { question: `Range, for example "0..400 ${unit}"`, option: '--range', yes, check: parsePressureRange });

async function resolutionOf(
  step: string | null,
  { resolution, yes }: GaugeAddOptions,
  check: (text: string) => unknown,
): Promise<string> {
  const asked = { question: 'Resolution, one step of its last digit', option: '--resolution', yes, check };
  if (step !== null || !yes || resolution !== undefined) return given(resolution, { ...asked, preset: step ?? '' });
  throw new DwellmarkError('usage', `${asked.question}: its readings don't tell`, {
    advice: 'Give it with --resolution.',
  });
}

/** Of a probe nothing but its serial must be known. */
async function probeEntry(named: Named, found: FoundGauge, options: GaugeAddOptions): Promise<ProbeEntry> {
  const { driver, line, step } = found;
  const stated = async (key: 'range' | 'accuracy', question: string): Promise<Partial<ProbeEntry>> => {
    const check = (text: string): unknown => text === '' || readProbe({ ...named, [key]: text });
    const preset = { question: `${question} (Enter: not stated)`, option: `--${key}`, preset: '', check };
    const text = await given(key === 'range' ? (found.range ?? options.range) : options[key], {
      ...preset,
      yes: options.yes,
    });
    return text === '' ? {} : { [key]: text };
  };
  const seen = step === null ? {} : { resolution: `${Number(step.toPrecision(6))} ${String(line.oil_unit ?? 'C')}` };
  const { resolution = seen.resolution } = options;
  return {
    ...named,
    ...(await stated('range', 'Range, for example "-20..120 C"')),
    ...(resolution === undefined ? {} : { resolution }),
    ...(await stated('accuracy', 'Accuracy, for example "0.2 K"')),
    driver,
    line,
  };
}
