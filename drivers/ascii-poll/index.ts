export { type AsciiPollSettings, createAsciiPoll, driver } from './ascii-poll.js';
export { type AnsweringGauge, type TriedRequest, tryRequests } from './try-requests.js';
