/** The chart's colours as the style has them now: light, dark or paper. */
export type ChartTheme = Readonly<Record<ThemeName, string>>;

const names = [
  'sheet',
  'ink',
  'quiet',
  'grid',
  'pressure',
  'opposite',
  'target',
  'allowed',
  'overpressure',
  'fit',
  'band',
  'settling',
  'dwell',
  'mark',
  'fail',
] as const;
type ThemeName = (typeof names)[number];

export function readTheme(): ChartTheme {
  const style = getComputedStyle(document.documentElement);
  return Object.fromEntries(names.map((name) => [name, style.getPropertyValue(`--${name}`).trim()])) as ChartTheme;
}
