export {
  DwellmarkError,
  describePlace,
  type ErrorPlace,
  findUnit,
  fromSi,
  type Pressure,
  type PressureDifference,
  parsePressure,
  pressureDifferencePa,
  pressurePa,
  type Temperature,
  temperatureK,
  toSi,
  type Unit,
} from '../units/index.js';
export * from './calibration/index.js';
export * from './channels/index.js';
export * from './detection/index.js';
export type {
  DriverModule,
  GaugeDescription,
  GaugeDriver,
  GaugeFault,
  GaugeFaultCode,
  GaugeItem,
  LogSource,
} from './driver.js';
export { faultAt, faultEffects } from './fault.js';
export { FaultEpisodes, type Trouble } from './fault-episodes.js';
export { ItemQueue, type ReadyItems, readyItems } from './item-queue.js';
export { type Reading, readingFlags } from './reading.js';
export { ReadingColumns } from './reading-columns.js';
export { type SeenSignal, seenSignal } from './seen-signal.js';
export * from './supervision/index.js';
export * from './wire/index.js';
