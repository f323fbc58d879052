export { type DeskOptions, type OpenDesk, openDesk } from './serve.js';
