import { exp, log, log1p } from '../../units/index.js';
/**
 * The value that a Student t variable stays below with the given probability.
 * @param probability between 0 and 1, both excluded
 * @param degreesOfFreedom greater than 0, need not be whole; Infinity gives the normal distribution
 * @example studentTQuantile(0.975, 10) // 2.228139
 */
export function studentTQuantile(probability: number, degreesOfFreedom: number): number {
  if (!(probability > 0 && probability < 1)) throw new Error(`probability ${probability} is not between 0 and 1`);
  if (!(degreesOfFreedom > 0)) throw new Error(`degrees of freedom ${degreesOfFreedom} must be positive`);
  if (probability === 0.5) return 0;
  if (probability < 0.5) return -studentTQuantile(1 - probability, degreesOfFreedom);
  const dof = Math.min(degreesOfFreedom, 1e8);
  let low = 0;
  let high = 2;
  while (studentTProbability(high, dof) < probability) {
    low = high;
    high *= 2;
  }
  for (let step = 0; step < 200 && high - low > 1e-13 * high; step++) {
    const middle = (low + high) / 2;
    if (studentTProbability(middle, dof) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * The probability that a Student t variable stays below `t`: 1 - I(v/(v + t2); v/2, 1/2)/2 for t > 0.
 * @example studentTProbability(2.228139, 10) // 0.975
 */
export function studentTProbability(t: number, degreesOfFreedom: number): number {
  const tail = incompleteBeta(degreesOfFreedom / (degreesOfFreedom + t * t), degreesOfFreedom / 2, 0.5) / 2;
  return t > 0 ? 1 - tail : tail;
}

/** Regularised incomplete beta function I(x; a, b), by its continued fraction (modified Lentz). */
function incompleteBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  const front = exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * log(x) + b * log1p(-x));
  if (x > (a + 1) / (a + b + 2)) return 1 - (front * betaFraction(1 - x, b, a)) / b;
  return (front * betaFraction(x, a, b)) / a;
}

function betaFraction(x: number, a: number, b: number): number {
  const tiny = 1e-300;
  const away = (value: number): number => (Math.abs(value) < tiny ? tiny : value);
  let c = 1;
  let d = 1 / away(1 - ((a + b) * x) / (a + 1));
  let fraction = d;
  for (let m = 1; m <= 100_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / away(1 + even * d);
    c = away(1 + even / c);
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / away(1 + odd * d);
    c = away(1 + odd / c);
    fraction *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) break;
  }
  return fraction;
}

/** Natural logarithm of the gamma function: Stirling's series after moving the argument above 10. */
function logGamma(z: number): number {
  let shift = 0;
  let x = z;
  while (x < 10) {
    shift += log(x);
    x += 1;
  }
  const r = 1 / (x * x);
  const series = (1 / 12 - r * (1 / 360 - r * (1 / 1260 - r * (1 / 1680 - r * (1 / 1188 - r * (691 / 360360)))))) / x;
  return (x - 0.5) * log(x) - x + 0.5 * log(2 * Math.PI) + series - shift;
}
