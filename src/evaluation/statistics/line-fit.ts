import { square } from '../../units/index.js';
/** A straight line through points that come one by one, in constant memory. */
export interface LineFit {
  add(x: number, y: number): void;
  result(): LineFitResult;
}

/** `y = intercept + slope x`. Standard deviations are those of independent noise; NaN where the points don't give one. */
export interface LineFitResult {
  readonly n: number;
  readonly slope: number;
  readonly slopeSd: number;
  readonly intercept: number;
  readonly interceptSd: number;
  /** Standard deviation of the points about the line. */
  readonly residualSd: number;
  readonly meanX: number;
  readonly meanY: number;
  /** Standard deviation of y about its own mean. */
  readonly sdY: number;
}

/**
 * Ordinary least squares in one pass. Means and products are updated about the running mean (Welford 1962), so a time
 * axis that starts at an epoch costs no digits; the residual sum grows by the squared recursive residuals (Brown,
 * Durbin and Evans 1975), so a nearly perfect line does not lose its scatter by cancellation.
 * @param options.throughOrigin fit `y = slope x`
 * @example
 * const fit = createLineFit();
 * for (const [x, y] of [[0, 1], [1, 3], [2, 5]] as const) fit.add(x, y);
 * fit.result().slope // 2
 */
export function createLineFit(options: { throughOrigin?: boolean } = {}): LineFit {
  return options.throughOrigin ? new OriginFit() : new FreeFit();
}

class FreeFit implements LineFit {
  #n = 0;
  #meanX = 0;
  #meanY = 0;
  #sxx = 0;
  #sxy = 0;
  #syy = 0;
  #residual = 0;

  add(x: number, y: number): void {
    const before = this.#n;
    this.#n = before + 1;
    const dx = x - this.#meanX;
    const dy = y - this.#meanY;
    if (before > 0) {
      if (this.#sxx > 0) {
        const surprise = dy - (this.#sxy / this.#sxx) * dx;
        this.#residual += (surprise * surprise) / (1 + 1 / before + (dx * dx) / this.#sxx);
      } else if (dx === 0) this.#residual += (dy * dy) / (1 + 1 / before);
    }
    this.#meanX += dx / this.#n;
    this.#meanY += dy / this.#n;
    const share = before / this.#n;
    this.#sxx += dx * dx * share;
    this.#sxy += dx * dy * share;
    this.#syy += dy * dy * share;
  }

  result(): LineFitResult {
    const n = this.#n;
    const slope = this.#sxx > 0 ? this.#sxy / this.#sxx : Number.NaN;
    const residualSd = n > 2 ? Math.sqrt(this.#residual / (n - 2)) : Number.NaN;
    return {
      n,
      slope,
      slopeSd: residualSd / Math.sqrt(this.#sxx),
      intercept: this.#meanY - slope * this.#meanX,
      interceptSd: residualSd * Math.sqrt(1 / n + square(this.#meanX) / this.#sxx),
      residualSd,
      meanX: this.#meanX,
      meanY: this.#meanY,
      sdY: n > 1 ? Math.sqrt(this.#syy / (n - 1)) : Number.NaN,
    };
  }
}

class OriginFit implements LineFit {
  #n = 0;
  #xx = 0;
  #xy = 0;
  #residual = 0;
  readonly #means = new FreeFit();

  add(x: number, y: number): void {
    this.#n += 1;
    this.#means.add(x, y);
    if (this.#xx > 0) {
      const surprise = y - (this.#xy / this.#xx) * x;
      this.#residual += (surprise * surprise) / (1 + (x * x) / this.#xx);
    } else if (x === 0) this.#residual += y * y;
    this.#xx += x * x;
    this.#xy += x * y;
  }

  result(): LineFitResult {
    const { meanX, meanY, sdY } = this.#means.result();
    const residualSd = this.#n > 1 ? Math.sqrt(this.#residual / (this.#n - 1)) : Number.NaN;
    const slope = this.#xx > 0 ? this.#xy / this.#xx : Number.NaN;
    const slopeSd = residualSd / Math.sqrt(this.#xx);
    return { n: this.#n, slope, slopeSd, intercept: 0, interceptSd: 0, residualSd, meanX, meanY, sdY };
  }
}
