export { markdownHtml } from './markdown-html.js';
export { isReference, jsonSchema, referencePage } from './references.js';
export { setMarkdown } from './set-markdown.js';
export { isTopic, referenceTopics, topicPage, topics } from './topics.js';
