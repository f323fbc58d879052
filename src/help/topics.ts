import { readFileSync } from 'node:fs';
import type { ReferenceName } from './references.js';

/** What there is to read, in the order of a list. Each is a page of Markdown beside this file. */
export const topics = {
  install: 'install on Linux, macOS and Windows',
  bench: 'run a test, keys of the screen',
  quality: 'review, sign, certificates, recall',
  auditor: 'for customers and auditors: check a certificate, a record',
  verdict: 'how a verdict comes about',
  procedures: 'limits and stages',
  drivers: 'gauges, and how they are read',
  files: 'files of a shop, logs to import',
  trouble: 'no port, no permission, garbled lines',
  accidents: 'what screen and record say when something goes wrong',
  glossary: 'words of the trade',
  sources: 'published texts behind limits and figures',
} as const;

/** Pages that are made from the schemas of the files. */
export const referenceTopics: Readonly<Record<ReferenceName, string>> = {
  'job-file': 'every key of a job file',
  'procedure-file': 'every key of a procedure file',
  'gauge-table': 'every key of a gauge',
  'gauge-line': 'every key of a gauge on a serial line',
  'shop-file': 'every key of the shop file',
};

export type TopicName = keyof typeof topics;

export const isTopic = (name: string): name is TopicName => Object.hasOwn(topics, name);

/** A page of help as Markdown. */
export const topicPage = (name: TopicName): string => readFileSync(new URL(`./${name}.md`, import.meta.url), 'utf8');
