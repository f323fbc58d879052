export { separatorOf, splitRow } from './csv-row.js';
export { createLogFile, driver, type LogFileSettings } from './log-file.js';
