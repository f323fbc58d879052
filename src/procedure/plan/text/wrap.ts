/** Columns of a terminal that everything printed keeps to. */
export const columns = 80;

/**
 * Breaks a text at its spaces into lines of at most 80 columns, or of another width; a no-break space holds a figure and its unit together.
 * @param first spaces before the first line.
 * @param rest spaces before every other.
 */
export function wrap(text: string, first: number, rest: number, width = columns): string[] {
  const lines: string[] = [];
  let line = ' '.repeat(first);
  let empty = true;
  for (const word of text.split(' ')) {
    if (!empty && line.length + 1 + word.length > width) {
      lines.push(line);
      line = ' '.repeat(rest);
      empty = true;
    }
    line += empty ? word : ` ${word}`;
    empty = false;
  }
  return [...lines, line];
}
