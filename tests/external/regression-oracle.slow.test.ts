import { describe, expect, it } from 'vitest';
import { studentTQuantile } from '../../src/evaluation/index.js';
import { theilSen } from '../../src/evaluation/statistics/lines.js';
import { chance } from '../evaluation/trace-generator.js';
import { lineOf } from './line.js';
import { askPython, relative } from './oracle.js';

/**
 * The second implementation is SciPy's (Debian's python3-scipy): `linregress` and `theilslopes`. It gets the traces as
 * JSON, whose numbers are exact, and hands back slope, standard error, intercept and the median slope. `linregress`
 * takes its error from 1 - r2, which loses digits on a nearly perfect line: there `linalg.lstsq` on
 * centred data stands in.
 */
const oracle = `
import json, sys
import numpy as np
from scipy import linalg, stats
out = []
for x, y in json.load(sys.stdin)["traces"]:
    line = stats.linregress(x, y)
    robust = stats.theilslopes(y, x)
    cx, cy = np.array(x) - np.mean(x), np.array(y) - np.mean(y)
    coefficients, squares, _, _ = linalg.lstsq(np.column_stack([np.ones(len(x)), cx]), cy)
    centred_sd = float(np.sqrt(squares / (len(x) - 2) / (cx ** 2).sum()))
    stderr = line.stderr if 1 - line.rvalue ** 2 > 1e-5 else centred_sd
    out.append([line.slope, stderr, line.intercept, robust[0], robust[1]])
json.dump(out, sys.stdout)
`;

describe("SciPy's own regression on a thousand random traces", () => {
  const source = chance(20261125);
  const traces = Array.from({ length: 1000 }, () => {
    const n = 5 + Math.floor(source.uniform() * 200);
    const slope = source.between(-3000, 3000);
    const noise = 10 ** source.between(1, 4);
    const x: number[] = [];
    const smooth: number[] = [];
    let t = source.between(0, 1000);
    for (let i = 0; i < n; i++) {
      t += source.between(0.01, 1);
      x.push(t);
      smooth.push(240e5 + slope * t + noise * source.normal());
    }
    /** Three traces in ten have coarse steps, so that pairs tie; never so coarse that nothing moves. */
    const span = Math.max(...smooth) - Math.min(...smooth);
    const step = source.uniform() < 0.3 ? span / source.between(3, 40) : 1;
    const y = smooth.map((value) => Math.round(value / step) * step);
    return [x, y] as const;
  });
  const answers = askPython(oracle, { traces }) as number[][];

  it('agrees on the least-squares slope, its error and the intercept to 1e-9', () => {
    let checked = 0;
    traces.forEach(([x, y], i) => {
      const [slope = Number.NaN, slopeSd = Number.NaN, intercept = Number.NaN] = answers[i] ?? [];
      const result = lineOf(x, y);
      expect(relative(result.slope, slope)).toBeLessThan(1e-9);
      expect(relative(result.slopeSd, slopeSd)).toBeLessThan(1e-9);
      expect(relative(result.intercept, intercept)).toBeLessThan(1e-9);
      checked++;
    });
    expect(checked).toBe(1000);
  });

  it('agrees on the Theil-Sen slope and intercept to 1e-9', () => {
    traces.forEach(([x, y], i) => {
      const [, , , slope = Number.NaN, intercept = Number.NaN] = answers[i] ?? [];
      const result = theilSen(x, y);
      if (slope === 0) expect(result.slope).toBe(0);
      else expect(relative(result.slope, slope)).toBeLessThan(1e-9);
      expect(relative(result.intercept, intercept)).toBeLessThan(1e-9);
    });
  });

  it("finds the probability asked for beyond Student's quantiles to 1e-9", () => {
    // Its distribution, not its inverse: that of SciPy before 1.14 is itself good to some 5e-9 only.
    const pairs = Array.from(
      { length: 200 },
      () => [source.between(0.51, 0.9995), 10 ** source.between(0, 5)] as const,
    );
    const program = `
import json, sys
from scipy import stats
json.dump([stats.t.sf(q, v) for q, v in json.load(sys.stdin)], sys.stdout)
`;
    const beyond = askPython(
      program,
      pairs.map(([p, dof]) => [studentTQuantile(p, dof), dof]),
    ) as number[];
    pairs.forEach(([p], i) => {
      expect(relative(beyond[i] ?? Number.NaN, 1 - p)).toBeLessThan(1e-9);
    });
  });
});
