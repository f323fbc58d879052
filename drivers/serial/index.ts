export { deviceIdentity, type FoundPort, listPorts, type PortLister } from './port-list.js';
export { instrumentShape, lineShape, type PortSettings, portShape } from './port-settings.js';
export { type LineListener, SerialLine } from './serial-line.js';
