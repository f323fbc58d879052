export { FreshValue } from './fresh-value.js';
export { type ChannelDuties, type GaugeOnLine, type MergedGauges, mergedGauges } from './merged.js';
