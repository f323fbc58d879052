export { openDesk } from './serve.js';
