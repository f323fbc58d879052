export { type OpenDesk, openDesk } from './serve.js';
