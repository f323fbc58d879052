export { Html, type HtmlValue, html } from './html.js';
export { browserProgram, pageProgram } from './page-program.js';
export { heads, table, verdictMark } from './sections.js';
export { pageStyle } from './style.js';
export { verifyPage } from './verify-page.js';
export { openPage, writePage } from './write-page.js';
