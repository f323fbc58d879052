export type { ModbusWay } from './ask-once.js';
export { askRegisters } from './ask-once.js';
export {
  type FoundDevice,
  findModbusDevice,
  type PlausibleChoices,
  plausibleChoice,
  type RegisterChoice,
  registerChoices,
  usualModbusLines,
} from './find-device.js';
export { createModbusRtu, driver, tcpDriver } from './modbus-rtu.js';
export {
  type RegisterView,
  registerViews,
  type ValueType,
  valueTypes,
  type WordOrder,
  wordOrders,
} from './register-value.js';
export { type ModbusRtuSettings, modbusSchema, modbusTcpSchema } from './settings.js';
