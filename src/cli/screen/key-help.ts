import { type Line, padTo, span, textWidth, wrapText } from './frame.js';

/** A key, and what it does in a few words. */
export type KeyHelp = readonly [key: string, does: string];

/**
 * The keys with what each does, to stand over the lower part of a screen: a page of them, counted from 0, and whether it is
 * the last. Nothing is cut.
 */
export function keyHelp(
  title: string,
  keys: readonly KeyHelp[],
  { columns, rows }: { readonly columns: number; readonly rows: number },
  page = 0,
): { readonly lines: Line[]; readonly last: boolean } {
  const wide = Math.max(...keys.map(([key]) => textWidth(key)));
  const pages: Line[][] = [[]];
  for (const [key, does] of keys) {
    const block = wrapText(does, columns - wide - 5).map(
      (text, row): Line => [span(`  ${padTo(row === 0 ? key : '', wide)}  `, 'bold'), span(text)],
    );
    const now = pages.at(-1) ?? [];
    if (now.length > 0 && now.length + block.length > rows - 3) pages.push(block);
    else now.push(...block);
  }
  const last = page >= pages.length - 1;
  const shown = pages[Math.min(page, pages.length - 1)] ?? [];
  return {
    last,
    lines: [
      [span(padTo(` ${title}`, columns), 'band')],
      ...shown,
      [],
      [span(`  any key: ${last ? 'back to the screen' : 'more keys'}`, 'dim')],
    ],
  };
}
