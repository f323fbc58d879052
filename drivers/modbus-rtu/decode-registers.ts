import {
  codeOfFlags,
  findUnit,
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

/** Units of the settings made ready; undefined when one is not known. */
export function modbusUnits(settings: CheckedModbus): { pressure: Unit; pressureName: string; oil: Unit } | undefined {
  const pressureName = readPressureUnit(settings.unit);
  const oilName = readTemperatureUnit(settings.oilUnit);
  const pressure = pressureName === undefined ? undefined : findUnit('pressure', pressureName);
  const oil = oilName === undefined ? undefined : findUnit('temperature', oilName);
  return pressureName === undefined || !pressure || !oil ? undefined : { pressure, pressureName, oil };
}

/** Reads an answer's registers. NaN, infinity, 9.9E37 and the device's own marks are no value and never a number. */
export function decodeRegisters(
  settings: CheckedModbus,
  units: { pressure: Unit; oil: Unit },
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
    value === null || flags !== 0 ? null : wholePascals(value, units.pressure);
  return {
    reading: {
      pressurePa: pascals(pressure.value),
      oppositePa: pascals(opposite.value),
      oilK: oil.value === null ? null : wholeMillikelvins(oil.value, units.oil),
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
