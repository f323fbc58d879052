/** Figures of three by five cells, a row a string. Drawn for this program. */
const shapes: Readonly<Record<string, readonly string[]>> = {
  '0': ['###', '# #', '# #', '# #', '###'],
  '1': [' # ', '## ', ' # ', ' # ', '###'],
  '2': ['###', '  #', '###', '#  ', '###'],
  '3': ['###', '  #', ' ##', '  #', '###'],
  '4': ['# #', '# #', '###', '  #', '  #'],
  '5': ['###', '#  ', '###', '  #', '###'],
  '6': ['###', '#  ', '###', '# #', '###'],
  '7': ['###', '  #', '  #', ' # ', ' # '],
  '8': ['###', '# #', '###', '# #', '###'],
  '9': ['###', '# #', '###', '  #', '###'],
  '.': [' ', ' ', ' ', ' ', '#'],
  ':': [' ', '#', ' ', '#', ' '],
  '-': ['   ', '   ', '###', '   ', '   '],
  '−': ['   ', '   ', '###', '   ', '   '],
  ' ': ['   ', '   ', '   ', '   ', '   '],
};

/** Rows of a figure at scale 1. */
export const figureRows = 5;

/**
 * A number in figures that are read from across a bench: each cell of a figure is `2 x scale` columns wide and `scale`
 * rows high. A sign without a shape is left out.
 * @example bigFigures('240.3', 1) // five rows of 35 columns
 */
export function bigFigures(text: string, scale: number): string[] {
  const known = [...text].flatMap((char) => shapes[char] ?? []);
  const signs = known.length / figureRows;
  const rows: string[] = [];
  for (let row = 0; row < figureRows; row++) {
    const cells: string[] = [];
    for (let sign = 0; sign < signs; sign++) cells.push(known[sign * figureRows + row] ?? '');
    const line = cells
      .map((cell) => [...cell].map((dot) => (dot === '#' ? '█' : ' ').repeat(2 * scale)).join(''))
      .join(' '.repeat(scale));
    for (let again = 0; again < scale; again++) rows.push(line);
  }
  return rows;
}

/** Columns that a number takes in such figures. */
export const bigWidth = (text: string, scale: number): number => bigFigures(text, scale)[0]?.length ?? 0;
