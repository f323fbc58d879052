import {
  isReference,
  isTopic,
  markdownHtml,
  referencePage,
  referenceTopics,
  topicPage,
  topics,
} from '../../help/index.js';
import { type Html, html } from '../../page/index.js';
import type { Desk } from '../desk.js';
import { frame } from '../frame.js';

/** What there is to read, or one topic; null for a topic that there is none of. */
export function helpPage(desk: Desk, name: string | undefined): Html | null {
  if (name === undefined) {
    const rows = Object.entries<string>({ ...topics, ...referenceTopics });
    const links = rows.map(([topic, about]) => html`<li><a href="/help/${topic}">${topic}</a>: ${about}</li>`);
    return frame(desk, '/help', 'Help', {}, html`<ul>${links}</ul>`);
  }
  const page = isTopic(name) ? topicPage(name) : isReference(name) ? referencePage(name) : null;
  if (page === null) return null;
  const title = /^# (.*)$/m.exec(page)?.[1] ?? name;
  return frame(desk, '/help', title, {}, ...markdownHtml(page));
}
