import { describe, expect, it } from 'vitest';
import { studentTQuantile } from '../../src/evaluation/index.js';
import { type CorrelatedNoise, correlatedNoise } from '../../src/evaluation/statistics/correlated-noise.js';
import { type Chance, chance } from '../evaluation/trace-generator.js';
import { lineOf } from './line.js';
import { askPython, relative } from './oracle.js';
import { certifiedSeries } from './strd-series.js';

/**
 * statsmodels (Debian's python3-statsmodels) as a second implementation: `yule_walker` for the autoregression,
 * `ArmaProcess` for the correlations it implies, `GLSAR` for a line fitted with its noise. The weight of lag k in the
 * variance of a slope is computed from the definition: the overlap of a line's weights with themselves.
 */
const seed = Number(process.env.DWELLMARK_SEED ?? Date.now() % 2 ** 31);
process.stderr.write(`correlated noise against statsmodels: DWELLMARK_SEED=${seed}\n`);

const longestOrder = 6;

const autoregression = `
import json, sys
import numpy as np
from statsmodels.regression.linear_model import yule_walker
from statsmodels.tsa.arima_process import ArmaProcess
out = []
for x, order in json.load(sys.stdin):
    x = np.array(x)
    n = len(x)
    best = None
    for p in range(0, min(${longestOrder}, n // 8) + 1):
        s2 = (x ** 2).mean() if p == 0 else yule_walker(x, order=p, method="adjusted", demean=False)[1] ** 2
        k = p + 1
        aicc = n * np.log(s2) + 2 * k * n / (n - k - 1)
        if best is None or aicc < best[0]: best = (aicc, p)
    if order == 0:
        out.append([best[1], 1.0, 0.0]); continue
    rho, sigma = yule_walker(x, order=order, method="adjusted", demean=False)
    acf = ArmaProcess(np.r_[1, -rho], [1]).acf(n)
    t = np.arange(n) - (n - 1) / 2
    w = t / (t ** 2).sum()
    exact = sum(acf[abs(k)] * np.dot(w[:n - abs(k)], w[abs(k):]) for k in range(-n + 1, n)) / np.dot(w, w)
    out.append([best[1], float(exact), float(acf[1])])
json.dump(out, sys.stdout)
`;

/** Autoregressive noise of up to three orders, stationary because it is made of roots inside the unit circle. */
function noisy(source: Chance, n: number): number[] {
  const root = source.between(-0.4, 0.85);
  const [radius, angle] = [source.between(0, 0.7), source.between(0, Math.PI)];
  const [a, b] = [2 * radius * Math.cos(angle), -radius * radius];
  const weights = [a + root, b - a * root, -b * root];
  const x: number[] = [];
  for (let i = -200; i < n; i++) {
    const past = x.slice(-3).reverse();
    x.push(weights.reduce((sum, weight, k) => sum + weight * (past[k] ?? 0), source.normal()));
  }
  return x.slice(-n);
}

describe('the autoregression of statsmodels, on a thousand random series and the certified ones of NIST', () => {
  const source = chance(seed);
  const series = [
    ...certifiedSeries.map(({ values, mean }) => values.map((value) => value - mean)),
    ...Array.from({ length: 1000 }, () => noisy(source, 60 + Math.floor(source.uniform() * 240))),
  ];
  const ours: CorrelatedNoise[] = series.map((values) => correlatedNoise(values, 0));
  const theirs = askPython(
    autoregression,
    series.map((values, i) => [values, ours[i]?.order]),
  ) as [number, number, number][];

  it('picks the order by the same criterion (Hurvich and Tsai 1989) in 99 of 100', () => {
    const same = ours.filter(({ order }, i) => order === theirs[i]?.[0]).length;
    expect(same / ours.length).toBeGreaterThan(0.99);
    expect(new Set(ours.map(({ order }) => order)).size).toBeGreaterThan(3);
  });

  it('widens the variance of a slope by the same factor, to 0.5 %, and never below that of independent noise', () => {
    let checked = 0;
    ours.forEach((noise, i) => {
      const [, factor = Number.NaN, lagOne = Number.NaN] = theirs[i] ?? [];
      if (noise.order === 0 || Math.abs(factor) < 0.05) return;
      expect(relative(noise.slopeFactor, Math.max(1, factor)), `series ${i}`).toBeLessThan(5e-3);
      expect(noise.lagOne).toBeCloseTo(lagOne, 9);
      checked++;
    });
    expect(checked).toBeGreaterThan(600);
  });
});

const lineWithItsNoise = `
import json, sys
import numpy as np
import statsmodels.api as sm
out = []
for y in json.load(sys.stdin):
    x = sm.add_constant(np.arange(len(y)) * 1.0)
    fit = sm.GLSAR(np.array(y), x, rho=1).iterative_fit(maxiter=8)
    out.append([float(fit.params[1]), float(fit.bse[1])])
json.dump(out, sys.stdout)
`;

describe('a line in correlated noise, against GLSAR of statsmodels (a thousand traces) and against the truth', () => {
  it.each([0, 0.3, 0.6, 0.8])(
    'first-order noise of %f: the error of GLSAR within 8 parts in 100 in the median, and 95 of 100 bands cover the truth',
    (rho) => {
      const source = chance(seed + Math.round(1000 * rho));
      const n = 300;
      const traces = Array.from({ length: 1000 }, () => {
        let state = source.normal();
        return Array.from({ length: n }, () => {
          const now = state;
          state = rho * state + Math.sqrt(1 - rho * rho) * source.normal();
          return now;
        });
      });
      const theirs = askPython(lineWithItsNoise, traces.slice(0, 250)) as [number, number][];
      const ratios: number[] = [];
      let covered = 0;
      traces.forEach((y, i) => {
        const { slope, intercept } = lineOf([...y.keys()], [...y]);
        const noise = correlatedNoise(
          y.map((value, x) => value - intercept - slope * x),
          2,
        );
        const sxx = (n * (n * n - 1)) / 12;
        const error = Math.sqrt((noise.variance * noise.slopeFactor) / sxx);
        if (Math.abs(slope) <= studentTQuantile(0.975, noise.degreesOfFreedom) * error) covered++;
        const [, bse] = theirs[i] ?? [];
        if (bse !== undefined) ratios.push(error / bse);
      });
      ratios.sort((a, b) => a - b);
      expect(Math.abs((ratios[ratios.length / 2] ?? 0) - 1)).toBeLessThan(0.08);
      expect(covered / 1000).toBeGreaterThan(0.925);
      expect(covered / 1000).toBeLessThan(0.975);
    },
  );
});
