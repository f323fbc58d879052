import { type Html, type HtmlValue, heads, html, table } from '../page/index.js';

/** A page of Markdown as HTML below the heading of its page: what the help topics use, and no more. */
export const markdownHtml = (page: string): readonly Html[] =>
  page
    .trimEnd()
    .split(/\n{2,}/)
    .filter((block) => !block.startsWith('# '))
    .map(blockHtml);

function blockHtml(block: string): Html {
  if (block.startsWith('    ')) return html`<pre tabindex="0">${block.replace(/^ {4}/gm, '')}</pre>`;
  if (block.startsWith('|')) return tableHtml(block);
  const items = block.split(/\n(?=- |\d+\. )/);
  if (!/^(?:- |\d+\. )/.test(block)) return html`<p>${inline(block)}</p>`;
  const rows = items.map((item) => html`<li>${inline(item.replace(/^(?:- |\d+\. )/, ''))}</li>`);
  return block.startsWith('- ') ? html`<ul>${rows}</ul>` : html`<ol>${rows}</ol>`;
}

function tableHtml(block: string): Html {
  const [head = [], ...rows] = block
    .split('\n')
    .filter((line) => !/^[|\s:-]+$/.test(line))
    .map((line) =>
      line
        .slice(1, -1)
        .split('|')
        .map((cell) => cell.trim()),
    );
  const cells = rows.map((row) => html`<tr>${row.map((cell) => html`<td>${inline(cell)}</td>`)}</tr>`);
  return table(head.join(', '), heads(...head), cells);
}

/** Bold, code and forced ends of lines. */
const inline = (text: string): readonly HtmlValue[] =>
  text.split(/(\*\*[^*]+\*\*|`[^`]+`|\\\n)/).map((part) => {
    if (part.startsWith('**')) return html`<strong>${part.slice(2, -2)}</strong>`;
    if (part.startsWith('`')) return html`<code>${part.slice(1, -1)}</code>`;
    return part === '\\\n' ? html`<br>` : part;
  });
