/** A row of steps that is unlikely to come twice, and where it begins. */
export interface Shingle {
  readonly hash: number;
  readonly at: number;
}

/** Steps in a row that are looked at together. */
export const shingleSteps = 24;
/** Of these so many must not be zero: a resting gauge repeats itself honestly. */
const leastMoves = 14;
/** One in so many is kept, chosen by its own hash, so that the same rows are kept in every trace. */
const keptOf = 8;

/**
 * Rows of 24 successive steps, as hashes: a stretch that was copied has the same steps wherever it was put, shifted up
 * or down or not. Two honest traces with a restless last digit share none: about two bits a step.
 */
export function shingles(pressuresPa: readonly number[]): Shingle[] {
  const found: Shingle[] = [];
  const steps = pressuresPa.slice(1).map((value, index) => value - (pressuresPa[index] as number));
  const power = powerOf(shingleSteps);
  let hash = 0;
  let moves = 0;
  for (let index = 0; index < steps.length; index += 1) {
    const step = steps[index] as number;
    hash = (Math.imul(hash, base) + mixed(step)) | 0;
    if (step !== 0) moves += 1;
    const gone = steps[index - shingleSteps];
    if (gone !== undefined) {
      hash = (hash - Math.imul(power, mixed(gone))) | 0;
      if (gone !== 0) moves -= 1;
    }
    if (index < shingleSteps - 1 || moves < leastMoves) continue;
    const spread = mixed(hash) >>> 0;
    if (spread % keptOf === 0) found.push({ hash: spread, at: index - shingleSteps + 1 });
  }
  return found;
}

const base = 0x01000193;

function powerOf(count: number): number {
  let power = 1;
  for (let index = 0; index < count; index += 1) power = Math.imul(power, base);
  return power;
}

/** Spreads the bits of a whole number (the finaliser of MurmurHash3, public domain). */
function mixed(value: number): number {
  let hash = value | 0;
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return hash ^ (hash >>> 16);
}
