export { cosOfTurns, cube, exp, log, log1p, power, rootSumSquares, sinOfTurns, square } from './arithmetic.js';
export { DwellmarkError, describePlace, type ErrorCode, type ErrorPlace } from './error.js';
export {
  decimalsFor,
  formatIn,
  formatNumber,
  formatQuantity,
  formatSignificant,
  shownUnit,
  valueIn,
} from './format.js';
export { isOneLine, oneLine, steeringSign, withoutSteering } from './one-line.js';
export { findUnit, fromSi, parsePressure, parseQuantity, parseTemperature, spoken, toSi } from './parse.js';
export {
  fall,
  moved,
  type Pressure,
  type PressureDifference,
  pressureDifferencePa,
  pressurePa,
  type Temperature,
  type TemperatureDifference,
  temperatureDifferenceK,
  temperatureK,
} from './quantity.js';
export { pressureDecimals, spell, spellDuration } from './spell.js';
export { type UnitSystem, type UnitSystemName, unitSystems } from './unit-system.js';
export { type Dimension, type Unit, unitTable, usualUnits } from './unit-table.js';
