export { type AsciiStreamSettings, createAsciiStream, driver } from './ascii-stream.js';
