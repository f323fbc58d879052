/** A seeded source of numbers: the same seed gives the same sequence on every machine. */
export interface RandomSource {
  /** Evenly spread in [0, 1). */
  uniform(): number;
  /** Normally distributed, mean 0, standard deviation 1. */
  gaussian(): number;
}

/**
 * xoshiro128** (Blackman and Vigna), its state filled from the seed by splitmix32; Gaussian numbers by Marsaglia's
 * polar method. Integer arithmetic only up to the last division.
 * @param seed any integer; its low 32 bits count
 * @example seededRandom(1).uniform() === seededRandom(1).uniform() // true
 */
export function seededRandom(seed: number): RandomSource {
  let filling = seed >>> 0;
  const splitmix = (): number => {
    filling = (filling + 0x9e3779b9) >>> 0;
    let z = filling;
    z = Math.imul(z ^ (z >>> 16), 0x21f0aaad);
    z = Math.imul(z ^ (z >>> 15), 0x735a2d97);
    return (z ^ (z >>> 15)) >>> 0;
  };
  let [a, b, c, d] = [splitmix(), splitmix(), splitmix(), splitmix()];
  let spare: number | undefined;

  const next = (): number => {
    const product = Math.imul(b, 5);
    const result = Math.imul((product << 7) | (product >>> 25), 9) >>> 0;
    const shifted = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= shifted;
    d = (d << 11) | (d >>> 21);
    return result;
  };
  const uniform = (): number => next() / 4294967296;
  const gaussian = (): number => {
    if (spare !== undefined) {
      const kept = spare;
      spare = undefined;
      return kept;
    }
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const s = u * u + v * v;
      if (s === 0 || s >= 1) continue;
      const factor = Math.sqrt((-2 * Math.log(s)) / s);
      spare = v * factor;
      return u * factor;
    }
  };
  return { uniform, gaussian };
}
