export { type AsciiPollSettings, createAsciiPoll, driver } from './ascii-poll.js';
