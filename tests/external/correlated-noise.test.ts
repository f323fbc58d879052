import { describe, expect, it } from 'vitest';
import { correlatedNoise } from '../../src/evaluation/statistics/correlated-noise.js';
import { relative } from './oracle.js';
import { certifiedSeries } from './strd-series.js';

describe('certified lag-one correlations, NIST StRD (univariate)', () => {
  it.each(certifiedSeries)('$name: lag-one correlation', ({ values, mean, lagOne }) => {
    const noise = correlatedNoise(
      values.map((value) => value - mean),
      0,
    );
    // Each lag is divided by the products in it, and not by n as NIST does: n/(n - 1) at lag one.
    expect(relative((noise.lagOne * (values.length - 1)) / values.length, lagOne)).toBeLessThan(1e-9);
  });
});
