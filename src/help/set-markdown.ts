/** How the parts of a page look in a terminal. */
export interface TerminalStyle {
  readonly bold: (text: string) => string;
  readonly dim: (text: string) => string;
}

/**
 * Sets a page of Markdown as lines for a terminal. It knows what the help topics use: headings, paragraphs, lists,
 * tables, indented code, bold and code.
 * @param width in characters.
 */
export function setMarkdown(page: string, width: number, style: TerminalStyle): readonly string[] {
  const blocks = page.trimEnd().split(/\n{2,}/);
  const lines = blocks.flatMap((block) => ['', ...setBlock(block, width, style)]);
  return lines.slice(1);
}

function setBlock(block: string, width: number, style: TerminalStyle): readonly string[] {
  if (block.startsWith('#')) return [style.bold(block.replace(/^#+ /, ''))];
  if (block.startsWith('    ')) return block.split('\n').map((line) => `  ${line.trim()}`);
  if (block.startsWith('|')) return setTable(block, width, style);
  const items = block.split(/\n(?=- |\d+\. )/);
  return items.flatMap((item) => {
    const mark = /^(?:- |\d+\. )/.exec(item)?.[0] ?? '';
    const parts = item.slice(mark.length).split('\\\n');
    return parts
      .flatMap((part) => fill(part.replace(/\n/g, ' ').replace(/ {2,}/g, ' ').trim(), width - mark.length))
      .map((line, index) => inked(`${index === 0 ? mark : ' '.repeat(mark.length)}${line}`, style));
  });
}

function setTable(block: string, width: number, style: TerminalStyle): readonly string[] {
  const rows = block
    .split('\n')
    .filter((line) => !/^[|\s:-]+$/.test(line))
    .map((line) =>
      line
        .slice(1, -1)
        .split('|')
        .map((cell) => cell.trim()),
    );
  const first = Math.max(...rows.map((cells) => plain(cells[0] ?? '').length)) + 2;
  return rows.flatMap(([name = '', ...rest], index) =>
    fill(rest.join('  '), width - first).map((line, row) => {
      const whole = `${(row === 0 ? name : '').padEnd(first + name.length - plain(name).length)}${line}`;
      return index === 0 ? style.dim(whole) : inked(whole, style);
    }),
  );
}

const plain = (text: string): string => text.replace(/\*\*|`/g, '');

/** Bold, and the marks of code left out: code reads as it is typed. */
const inked = (line: string, style: TerminalStyle): string =>
  line.replace(/\*\*([^*]+)\*\*/g, (_, text: string) => style.bold(text)).replace(/`/g, '');

function fill(text: string, width: number): readonly string[] {
  const lines: string[] = [];
  let line = '';
  // A bold word is not cut into two lines: its marks must meet.
  for (const word of text.split(/ (?![^*]*[^*\s]\*\*[:.])/)) {
    if (line !== '' && plain(line).length + 1 + plain(word).length > width) {
      lines.push(line);
      line = '';
    }
    line = line === '' ? word : `${line} ${word}`;
  }
  return [...lines, line];
}
