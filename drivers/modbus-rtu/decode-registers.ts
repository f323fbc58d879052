import {
  codeOfFlags,
  DwellmarkError,
  findUnit,
  knownUnits,
  type Pressure,
  type Reading,
  readingFlags,
  readMarkNumber,
  readPressureUnit,
  readTemperatureUnit,
  type Trouble,
  type Unit,
  wholeMillikelvins,
  wholePascals,
} from '../../src/gauge/index.js';
import { registerValue } from './register-value.js';
import type { CheckedModbus, RegisterSetting } from './settings.js';

/** Everything that one answer says, but when it came. */
export interface DecodedRegisters {
  readonly reading: Omit<Reading, 'timeUs'>;
  readonly trouble: readonly Trouble[];
  readonly serial: string | null;
}

/** Units of the settings made ready. */
export interface ModbusUnits {
  /** Null: no pressure is read, and no unit of one is set. */
  readonly pressure: Unit | null;
  readonly oil: Unit;
  /** Of the pressure, else of the oil temperature. */
  readonly name: string;
}

/** @throws DwellmarkError (`input`) naming the key, for a unit that is not known or one that a pressure lacks. */
export function modbusUnits({ unit, oilUnit, pressure, opposite }: CheckedModbus): ModbusUnits {
  const oilName = readTemperatureUnit(oilUnit);
  const oil = oilName === undefined ? undefined : findUnit('temperature', oilName);
  if (oilName === undefined || !oil) throw badUnit('oil_unit', oilUnit, `Known: ${knownUnits.temperature}.`);
  if (unit === undefined) {
    if (!pressure && !opposite) return { pressure: null, oil, name: oilName };
    throw new DwellmarkError('input', 'a pressure is read, but its unit is not set', {
      place: { key: 'unit' },
      advice: 'Write for example unit = "bar". An oil temperature without a pressure needs none.',
    });
  }
  const name = readPressureUnit(unit);
  const found = name === undefined ? undefined : findUnit('pressure', name);
  if (name !== undefined && found) return { pressure: found, oil, name };
  const own = readTemperatureUnit(unit) ? ' The unit of a temperature is oil_unit.' : '';
  throw badUnit('unit', unit, `Known: ${knownUnits.pressure}.${own}`);
}

const badUnit = (key: string, text: string, advice: string): DwellmarkError =>
  new DwellmarkError('input', `"${text}" is not a unit a gauge is read in`, { place: { key }, advice });

/** Reads an answer's registers. NaN, infinity, 9.9E37 and the device's own marks are no value and never a number. */
export function decodeRegisters(
  settings: CheckedModbus,
  units: ModbusUnits,
  registers: readonly number[],
  from: number,
): DecodedRegisters {
  const read = (setting: RegisterSetting | undefined): { value: number | null; flag: number; words: string } => {
    if (!setting) return { value: null, flag: 0, words: '' };
    const raw = registerValue(registers, setting.register - from, setting.type, setting.wordOrder);
    const mark = noValueOf(raw, setting.noValueNumbers);
    return mark ? { value: null, ...mark } : { value: raw * setting.scale, flag: 0, words: '' };
  };
  const at = (register: number): number => registers[register - from] ?? Number.NaN;
  const pressure = read(settings.pressure);
  const opposite = read(settings.opposite);
  const oil = read(settings.oil);
  const serial = settings.serialNumber && read(settings.serialNumber).value;
  const trouble: Trouble[] = [];
  let flags = pressure.flag;
  if (pressure.flag) trouble.push({ code: codeOfFlags(pressure.flag), text: `the gauge is ${pressure.words}` });
  if (settings.status && !settings.status.good.includes(at(settings.status.register))) {
    flags |= readingFlags.notLive;
    trouble.push({ code: 'no-value', text: `the gauge's status is ${at(settings.status.register)}` });
  }
  if (settings.unitCode && at(settings.unitCode.register) !== settings.unitCode.is) {
    flags |= readingFlags.otherUnit;
    const found = at(settings.unitCode.register);
    trouble.push({ code: 'unit-changed', text: `the gauge's unit is set to ${found}, not ${settings.unitCode.is}` });
  }
  const pascals = (value: number | null): Pressure | null =>
    value === null || flags !== 0 || !units.pressure ? null : wholePascals(value, units.pressure);
  // What is wrong with a gauge says nothing of its oil channel; with a probe there is nothing else.
  const oilKnown = settings.pressure !== undefined || flags === 0;
  return {
    reading: {
      pressurePa: pascals(pressure.value),
      oppositePa: pascals(opposite.value),
      oilK: oil.value === null || !oilKnown ? null : wholeMillikelvins(oil.value, units.oil),
      flags,
    },
    trouble,
    serial: serial === undefined || serial === null ? null : String(serial),
  };
}

function noValueOf(raw: number, marks: readonly number[]): { flag: number; words: string } | undefined {
  if (raw === Number.POSITIVE_INFINITY) return { flag: readingFlags.overRange, words: 'over its range' };
  if (raw === Number.NEGATIVE_INFINITY) return { flag: readingFlags.underRange, words: 'under its range' };
  if (Number.isNaN(raw)) return { flag: readingFlags.noValue, words: 'without a value' };
  return readMarkNumber(raw, marks);
}
