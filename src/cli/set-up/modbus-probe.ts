import { temperatureK, valueIn } from '../../units/index.js';
import type { FoundGauge, GaugeAddOptions } from './found-gauge.js';
import { statusKeys } from './modbus-answers.js';
import { modbusDriver, modbusValue } from './modbus-value.js';

/** Hydraulic oil is nowhere colder or hotter: -40 and 150 °C. */
const oilK = { low: temperatureK(233.15), high: temperatureK(423.15) };

/**
 * Sets up an oil probe on Modbus RTU: a register that is a temperature, and no pressure at all.
 * @param unit of the temperature on the wire: C, F or K.
 * @throws DwellmarkError (`gauge`) when nothing answers.
 */
export async function modbusProbe(path: string, options: GaugeAddOptions, unit: string): Promise<FoundGauge> {
  const { device, value, step } = await modbusValue(path, options, {
    name: 'oil temperature',
    unit,
    plausible: { low: valueIn(oilK.low, 'temperature', unit), high: valueIn(oilK.high, 'temperature', unit) },
    told: {
      register: options.register ?? options.oilRegister,
      type: options.type ?? options.oilType,
      scale: options.scale ?? options.oilScale,
    },
    compare: 'the display of the probe, or a thermometer beside it,',
    toTell: 'warm the probe in your hand, and see which one follows in the smallest steps',
  });
  return {
    driver: modbusDriver(options),
    measures: 'oil',
    step,
    line: { ...device, oil_unit: unit, oil: value, ...(await statusKeys(options)) },
  };
}
