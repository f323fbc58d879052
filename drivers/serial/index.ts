export { LineSplitter, type OnLine, type SplitSettings } from './line-splitter.js';
export { type HeardGauge, listenForGauge, usualLineSettings } from './listen.js';
export { type Dialogue, type Exchange, PolledGauge, type PolledLine, type PolledListener } from './polled-gauge.js';
export { callOutName, deviceIdentity, type FoundPort, listPorts, type PortLister } from './port-list.js';
export {
  instrumentShape,
  knownInstrument,
  lineShape,
  type PortSettings,
  portShape,
  spokenPort,
  textDescription,
} from './port-settings.js';
export { type LineListener, SerialLine } from './serial-line.js';
