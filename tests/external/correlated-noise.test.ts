import { describe, expect, it } from 'vitest';
import { correlatedNoise, createLineFit } from '../../src/evaluation/index.js';
import { relative } from './oracle.js';
import { certifiedSeries } from './strd-series.js';

describe('certified lag-one correlations, NIST StRD (univariate)', () => {
  it.each(certifiedSeries)(
    '$name: mean, standard deviation and lag-one correlation',
    ({ values, mean, sd, lagOne }) => {
      const fit = createLineFit();
      values.forEach((value, i) => {
        fit.add(i, value);
      });
      const { meanY, sdY } = fit.result();
      expect(relative(meanY, mean)).toBeLessThan(1e-14);
      expect(relative(sdY, sd)).toBeLessThan(1e-9);
      const noise = correlatedNoise(
        values.map((value) => value - mean),
        0,
      );
      // Each lag is divided by the products in it, and not by n as NIST does: n/(n - 1) at lag one.
      expect(relative((noise.lagOne * (values.length - 1)) / values.length, lagOne)).toBeLessThan(1e-9);
    },
  );
});
