import { type Line, padTo, span, textWidth } from './frame.js';

/** A key, and what it does in a few words. */
export type KeyHelp = readonly [key: string, does: string];

/** The keys with what each does, to stand over the lower part of a screen. */
export function keyHelp(title: string, keys: readonly KeyHelp[], width: number): Line[] {
  const wide = Math.max(...keys.map(([key]) => textWidth(key)));
  return [
    [span(padTo(` ${title}`, width), 'band')],
    ...keys.map(([key, does]): Line => [span(`  ${padTo(key, wide)}  `, 'bold'), span(does)]),
    [],
    [span('  any key: back to the screen', 'dim')],
  ];
}
