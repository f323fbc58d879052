/** A cell of a row and where it stands. */
export interface Cell {
  readonly text: string;
  /** 1-based column of its first character. */
  readonly column: number;
}

/** A row split, or the column of a quote that was never closed. */
export type SplitRow = { readonly cells: readonly Cell[] } | { readonly unclosedQuoteAt: number };

/**
 * Splits one line of a CSV file: RFC 4180 within a line, `""` for a quote inside quotes, blanks around a cell dropped.
 * @example splitRow('1;"a;b";3', ';') // cells '1', 'a;b', '3'
 */
export function splitRow(line: string, separator: string): SplitRow {
  const cells: Cell[] = [];
  let at = 0;
  for (;;) {
    while (line[at] === ' ' || (line[at] === '\t' && separator !== '\t')) at += 1;
    const column = at + 1;
    if (line[at] === '"') {
      let text = '';
      let from = at + 1;
      for (;;) {
        const quote = line.indexOf('"', from);
        if (quote === -1) return { unclosedQuoteAt: column };
        text += line.slice(from, quote);
        at = quote + 1;
        if (line[at] !== '"') break;
        text += '"';
        from = at + 1;
      }
      const end = line.indexOf(separator, at);
      const rest = line.slice(at, end === -1 ? undefined : end).trim();
      cells.push({ text: rest === '' ? text : text + rest, column });
      if (end === -1) return { cells };
      at = end + 1;
      continue;
    }
    const end = line.indexOf(separator, at);
    cells.push({ text: line.slice(at, end === -1 ? undefined : end).trim(), column });
    if (end === -1) return { cells };
    at = end + 1;
  }
}

/** The separator of a header row: the one of `;`, tab and `,` that stands in it most; a comma for a row of one cell. */
export function separatorOf(header: string): string {
  const outsideQuotes = header.replace(/"[^"]*"/g, '');
  const counted = [';', '\t', ','].map((sign) => ({ sign, count: outsideQuotes.split(sign).length - 1 }));
  const best = counted.reduce((most, one) => (one.count > most.count ? one : most));
  return best.count > 0 ? best.sign : ',';
}
