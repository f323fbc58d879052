export { type ChecksumKind, checksumOf, checksumText, crc16Modbus } from './checksum.js';
export { KnownLine } from './known-line.js';
export { arrivalUs, LineClock } from './line-clock.js';
export {
  codeOfFlags,
  type DecodedLine,
  decodeLine,
  type LineGrammar,
  type LineSettings,
  lineGrammar,
} from './line-decoder.js';
export { cutMark, type GuardedBytes, LineGuard } from './line-guard.js';
export { compilePattern, type LinePart, type LinePattern } from './line-pattern.js';
export { LineReader } from './line-reader.js';
export { type NoValue, readMark, readMarkNumber } from './no-value.js';
export { type DecimalSign, printedDecimals, readNumber, type ThousandsSign, thousandsSigns } from './number.js';
export { readStatus, type StatusMeaning, type StatusName } from './status-word.js';
export { wholeMillikelvins, wholePascals } from './whole-si.js';
export { isAbsolute, knownUnits, readPressureUnit, readTemperatureUnit } from './wire-unit.js';
