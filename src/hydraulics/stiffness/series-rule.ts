/**
 * Stiffnesses one behind the other, Pa: 1/K = sum of share / K. The shares are volumes relative to the whole: 1 for
 * the liquid and for a container around all of it, the gas fraction at pressure for gas.
 * @example seriesStiffnessPa([{ stiffnessPa: 1.5e9 }, { stiffnessPa: 17.71e9 }]) // 1.383e9
 */
export function seriesStiffnessPa(parts: readonly { readonly stiffnessPa: number; readonly share?: number }[]): number {
  return 1 / parts.reduce((sum, part) => sum + (part.share ?? 1) / part.stiffnessPa, 0);
}
