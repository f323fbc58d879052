/**
 * Strokes of a booster for a volume of oil, a whole number. A share of each stroke is lost to its own compression and
 * valves: `delivers` is what comes out of a stroke at pressure, 1 = all.
 * @example boosterStrokes(65.4e-6, 2e-6) // 33
 */
export function boosterStrokes(oilM3: number, strokeM3: number, delivers = 1): number {
  if (!(strokeM3 > 0 && delivers > 0)) throw new Error('a booster stroke must deliver something');
  return Math.max(0, Math.ceil(oilM3 / (strokeM3 * delivers) - 1e-9));
}
