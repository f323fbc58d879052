/*
 * Elementary functions out of nothing but +, -, *, / and the square root, which IEEE 754 rounds the same everywhere.
 * Those of the JavaScript engine may differ in the last digit from one version to the next, and a verdict must come
 * out the same to the last bit on a computer that does not exist yet. Method and coefficients: fdlibm (Sun
 * Microsystems, 1993, freely usable; e_exp.c, e_log.c, k_sin.c, k_cos.c, e_rem_pio2.c). Error below 1.5 units in the
 * last place.
 */

const ln2High = 0.6931471803691238;
const ln2Low = 1.9082149292705877e-10;
const inverseLn2 = Math.LOG2E;
const expOverflow = 709.782712893384;
const expUnderflow = -745.1332191019411;

/**
 * e to the power of x; 0 below -745.13, Infinity above 709.78.
 * @example exp(1) // 2.718281828459045
 */
export function exp(x: number): number {
  if (Number.isNaN(x)) return x;
  if (x > expOverflow) return Number.POSITIVE_INFINITY;
  if (x < expUnderflow) return 0;
  const k = Math.round(inverseLn2 * x);
  const high = x - k * ln2High;
  const low = k * ln2Low;
  const r = high - low;
  const t = r * r;
  const c =
    r -
    t *
      (0.16666666666666602 +
        t *
          (-0.0027777777777015593 +
            t * (0.00006613756321437934 + t * (-0.0000016533902205465252 + t * 4.1381367970572385e-8))));
  return scaled(1 - (low - (r * c) / (2 - c) - high), k);
}

/** x times 2 to the power of k, in two exact steps where one would overflow or lose digits. */
function scaled(x: number, k: number): number {
  const half = Math.trunc(k / 2);
  return x * powerOfTwo(half) * powerOfTwo(k - half);
}

const bits = new DataView(new ArrayBuffer(8));

/** 2 to a whole power from -1022 to 1023. */
function powerOfTwo(k: number): number {
  bits.setUint32(0, (k + 1023) << 20);
  bits.setUint32(4, 0);
  return bits.getFloat64(0);
}

/**
 * Natural logarithm; -Infinity at 0, NaN below.
 * @example log(10) // 2.302585092994046
 */
export function log(x: number): number {
  if (!(x > 0)) return x === 0 ? Number.NEGATIVE_INFINITY : Number.NaN;
  if (x === Number.POSITIVE_INFINITY) return x;
  const { mantissa, exponent } = parted(x);
  const f = mantissa - 1;
  const s = f / (2 + f);
  const z = s * s;
  const w = z * z;
  const odd = w * (0.3999999999940942 + w * (0.22222198432149784 + w * 0.15313837699209373));
  const even = z * (0.6666666666666735 + w * (0.2857142874366239 + w * (0.1818357216161805 + w * 0.14798198605116586)));
  const half = 0.5 * f * f;
  return exponent * ln2High - (half - (s * (half + odd + even) + exponent * ln2Low) - f);
}

const smallestNormal = 2.2250738585072014e-308;

/** A positive number as mantissa times 2 to the exponent, the mantissa from sqrt(1/2) to sqrt(2). */
function parted(x: number): { mantissa: number; exponent: number } {
  const lift = x < smallestNormal ? 54 : 0;
  bits.setFloat64(0, lift === 0 ? x : x * 18_014_398_509_481_984);
  const high = bits.getUint32(0);
  let exponent = (high >>> 20) - 1023 - lift;
  bits.setUint32(0, (high & 0xfffff) | 0x3ff00000);
  let mantissa = bits.getFloat64(0);
  if (mantissa > Math.SQRT2) {
    mantissa /= 2;
    exponent += 1;
  }
  return { mantissa, exponent };
}

/**
 * log(1 + x) without losing the digits of a small x: log(u) of u = 1 + x, and what rounding u lost.
 * @example log1p(1e-10) // 9.9999999995e-11
 */
export function log1p(x: number): number {
  const u = 1 + x;
  if (u === 1 || u === Number.POSITIVE_INFINITY) return x;
  return log(u) + (x - (u - 1)) / u;
}

/**
 * Sine of so many whole turns: of 2 pi times it. The part of a turn that counts is cut off exactly, however many turns.
 * @example sinOfTurns(0.25) // 1
 */
export const sinOfTurns = (turns: number): number => quarter(turns - Math.round(turns), 0);

/** Cosine; as {@link sinOfTurns}. @example cosOfTurns(0.5) // -1 */
export const cosOfTurns = (turns: number): number => quarter(turns - Math.round(turns), 1);

/** Of a part of a turn, from -1/2 to 1/2. */
function quarter(turn: number, ahead: number): number {
  const n = Math.round(4 * turn);
  const rest = (turn - n / 4) * (2 * Math.PI);
  switch ((n + ahead + 4) % 4) {
    case 0:
      return smallSine(rest);
    case 1:
      return smallCosine(rest);
    case 2:
      return -smallSine(rest);
    default:
      return -smallCosine(rest);
  }
}

function smallSine(x: number): number {
  const z = x * x;
  const tail =
    0.00833333333332249 +
    z *
      (-0.0001984126982985795 +
        z * (0.0000027557313707070068 + z * (-2.5050760253406863e-8 + z * 1.58969099521155e-10)));
  return x + z * x * (-0.16666666666666632 + z * tail);
}

function smallCosine(x: number): number {
  const z = x * x;
  const tail =
    z *
    (0.0416666666666666 +
      z *
        (-0.001388888888887411 +
          z *
            (0.00002480158728947673 +
              z * (-2.7557314351390663e-7 + z * (2.087572321298175e-9 + z * -1.1359647557788195e-11)))));
  const half = 0.5 * z;
  const w = 1 - half;
  return w + (1 - w - half + z * tail);
}

export const square = (x: number): number => x * x;

export const cube = (x: number): number => x * x * x;

/**
 * A positive base to any power, to about 1e-15 of it for powers of the usual size; 0 to a positive power is 0.
 * @example power(2, 0.5) // 1.4142135623730951
 */
export const power = (base: number, exponent: number): number => exp(exponent * log(base));

/**
 * Root of the sum of squares: how independent uncertainties add up.
 * @example rootSumSquares(3, 4) // 5
 */
export function rootSumSquares(...parts: readonly number[]): number {
  let sum = 0;
  for (const part of parts) sum += part * part;
  return Math.sqrt(sum);
}
