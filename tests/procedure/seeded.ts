/** Chance that is the same on every run (mulberry32; normal by Box and Muller). */
export interface Chance {
  /** Between 0 and 1. */
  uniform(): number;
  between(low: number, high: number): number;
  /** Mean 0, standard deviation 1. */
  normal(): number;
}

export function chance(seed: number): Chance {
  let state = seed;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
  return {
    uniform,
    between: (low, high) => low + (high - low) * uniform(),
    normal: () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
  };
}
