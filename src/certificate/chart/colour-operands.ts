/**
 * Red, green and blue from 0 to 1 of `#rgb`, `#rrggbb`, `rgb(…)` or `rgba(…)`, as it looks on white paper; null for
 * what can't be seen.
 */
export function colourOperands(style: string): string | null {
  const [red = 0, green = 0, blue = 0, alpha = 1] = partsOf(style);
  if (alpha === 0) return null;
  return [red, green, blue].map((part) => String(Math.round((255 - alpha * (255 - part)) / 0.255) / 1000)).join(' ');
}

function partsOf(style: string): readonly number[] {
  if (!style.startsWith('#')) return (style.match(/[\d.]+/g) ?? []).map(Number);
  const digits = style.length === 4 ? style.replace(/[^#]/g, '$&$&') : style;
  return [1, 3, 5].map((start) => Number.parseInt(digits.slice(start, start + 2), 16));
}
