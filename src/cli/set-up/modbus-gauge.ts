import type { WordOrder } from '../../../drivers/modbus-rtu/index.js';
import type { GaugeEntry } from '../../bench/index.js';
import { parsePressureRange } from '../../procedure/index.js';
import { valueIn } from '../../units/index.js';
import type { AnswerCheck } from '../ask.js';
import { type FoundGauge, type GaugeAddOptions, given } from './found-gauge.js';
import { furtherRegister, scaleOf, statusKeys, typeOf } from './modbus-answers.js';
import { modbusDriver, modbusValue } from './modbus-value.js';

/**
 * Sets up a gauge on Modbus RTU, and asks for the registers of oil temperature and status.
 * @param range as in the shop file, `0..400 bar`: it tells which value is plausible.
 * @throws DwellmarkError (`gauge`) when nothing answers.
 */
export async function modbusGauge(path: string, options: GaugeAddOptions, range: string): Promise<FoundGauge> {
  const { lowPa, highPa, ...stated } = parsePressureRange(range);
  const { unit = stated.unit } = options;
  const { device, value, step } = await modbusValue(path, options, {
    name: 'pressure',
    unit,
    plausible: { low: valueIn(lowPa, 'pressure', unit), high: valueIn(highPa, 'pressure', unit) },
    told: { register: options.register, type: options.type, scale: options.scale },
    compare: 'the display of the gauge',
    toTell: 'bring pressure onto the gauge, so that they differ',
  });
  return {
    driver: modbusDriver(options),
    measures: 'pressure',
    step,
    range,
    line: {
      ...device,
      unit,
      pressure: value,
      ...(await oilKeys(options, value.word_order)),
      ...(await statusKeys(options)),
    },
  };
}

/** Oil temperature, in the same request; asked for unless nothing is to be asked. */
async function oilKeys(options: GaugeAddOptions, wordOrder: WordOrder): Promise<GaugeEntry['line']> {
  const { valueTypes } = await import('../../../drivers/modbus-rtu/index.js');
  const { oilType, oilScale, yes } = options;
  const register = await furtherRegister(options.oilRegister, {
    what: 'Register of the oil temperature, °C',
    option: '--oil-register',
    yes,
  });
  if (register === null) return {};
  const asked = (text: string | undefined, question: string, option: string, preset: string, check: AnswerCheck) =>
    given(text, { question, option, preset, check, yes });
  const type = await asked(oilType, 'Its type', '--oil-type', 'float32', (text) => typeOf(text, valueTypes));
  const scale = await asked(oilScale?.toString(), 'Its scale', '--oil-scale', '1', scaleOf);
  return { oil: { register, type: typeOf(type, valueTypes), word_order: wordOrder, scale: scaleOf(scale) } };
}
