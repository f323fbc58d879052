export { cosOfTurns, cube, exp, log, log1p, power, rootSumSquares, sinOfTurns, square } from './arithmetic.js';
export { DwellmarkError, describePlace, type ErrorCode, type ErrorPlace } from './error.js';
export { isOneLine, oneLine, steeringSign, withoutSteering } from './one-line.js';
export {
  decimalsFor,
  fall,
  findUnit,
  formatIn,
  formatNumber,
  formatQuantity,
  formatSignificant,
  fromSi,
  moved,
  type Pressure,
  type PressureDifference,
  parsePressure,
  parseQuantity,
  parseTemperature,
  pressureDifferencePa,
  pressurePa,
  shownUnit,
  spoken,
  type Temperature,
  type TemperatureDifference,
  temperatureDifferenceK,
  temperatureK,
  toSi,
  valueIn,
} from './quantity.js';
export { pressureDecimals, spell, spellDuration } from './spell.js';
export { type UnitSystem, type UnitSystemName, unitSystems } from './unit-system.js';
export { type Dimension, type Unit, unitTable, usualUnits } from './unit-table.js';
