export type { GaugeDescription, GaugeDriver, GaugeFault, GaugeFaultCode, GaugeItem } from './driver.js';
export { type Reading, readingFlags } from './reading.js';
