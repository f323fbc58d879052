export { askRegisters } from './ask-once.js';
export { createModbusRtu, driver } from './modbus-rtu.js';
export { type RegisterView, registerViews, type ValueType, type WordOrder, wordOrders } from './register-value.js';
export type { ModbusRtuSettings } from './settings.js';
