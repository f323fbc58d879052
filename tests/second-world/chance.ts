/** Chance that comes out the same for the same seed; streams of one seed by name, so that one draw moves no other. */
export class Chance {
  #state: number;
  #spare: number | null = null;

  constructor(seed: number) {
    this.#state = seed >>> 0;
  }

  /** A stream of its own, told by seed and name alone. */
  static of(seed: number, name: string): Chance {
    let hash = 2166136261;
    for (const sign of `${seed}/${name}`) hash = Math.imul(hash ^ (sign.codePointAt(0) ?? 0), 16777619);
    const chance = new Chance(hash);
    for (let i = 0; i < 8; i += 1) chance.next();
    return chance;
  }

  /** 0 to below 1 (mulberry32). */
  next(): number {
    this.#state = (this.#state + 0x6d2b79f5) >>> 0;
    let t = this.#state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.next();
  }

  /** Equally likely in each octave. */
  octaves(low: number, high: number): number {
    return low * (high / low) ** this.next();
  }

  /** Standard normal (Box and Muller). */
  normal(): number {
    if (this.#spare !== null) {
      const spare = this.#spare;
      this.#spare = null;
      return spare;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - this.next()));
    const angle = 2 * Math.PI * this.next();
    this.#spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  }

  chance(share: number): boolean {
    return this.next() < share;
  }

  pick<T>(choices: readonly T[]): T {
    const picked = choices[Math.floor(this.next() * choices.length)];
    if (picked === undefined) throw new Error('nothing to pick from');
    return picked;
  }
}
