export { createLogFile, driver, type LogFileSettings } from './log-file.js';
