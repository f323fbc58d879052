/** The step of a scale: 1, 2 or 5 times a power of ten, at least so large. @example niceStep(37) // 50 */
export function niceStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least > 0 ? least : 1));
  return power * ([1, 2, 5].find((step) => step * power >= least * (1 - 1e-9)) ?? 10);
}

/** Steps of a clock that a person counts in, seconds. */
export const clockSteps = [
  0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10_800, 21_600,
  43_200, 86_400,
];

/** The first step of a clock that is at least so large. @example clockStep(200) // 300 */
export const clockStep = (leastS: number): number => clockSteps.find((step) => step >= leastS) ?? 86_400;

/** Every multiple of the step between two values. */
export function ticks(low: number, high: number, step: number): number[] {
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return Array.from({ length: Math.max(0, Math.min(last - first + 1, 100)) }, (_, index) => (first + index) * step);
}
