export { type AsciiPollSettings, asciiPollSchema, createAsciiPoll, driver } from './ascii-poll.js';
export { type AnsweringGauge, type TriedRequest, tryRequests } from './try-requests.js';
