import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { bendsOf } from '../../src/evaluation/shape/bend.js';
import { type Chance, chance } from '../evaluation/trace-generator.js';
import { askPython, relative } from './oracle.js';

/**
 * SciPy's `curve_fit` (Debian's python3-scipy) for a line with an exponential on it. It is itself first held against
 * NIST StRD Misra1a, y = b1 (1 - exp(-b2 x)), whose certified values are b1 238.94212918 and b2 5.5015643181e-4.
 */
const seed = Number(process.env.DWELLMARK_SEED ?? Date.now() % 2 ** 31);
process.stderr.write(`settling against SciPy: DWELLMARK_SEED=${seed}\n`);

const misra = `
import json, sys
import numpy as np
from scipy.optimize import curve_fit
x, y = (np.array(v) for v in json.load(sys.stdin))
b, _ = curve_fit(lambda x, b1, b2: b1 * (1 - np.exp(-b2 * x)), x, y, p0=[250, 5e-4], xtol=1e-14, ftol=1e-14)
json.dump(list(b), sys.stdout)
`;

const bend = `
import json, sys
import numpy as np
from scipy.optimize import curve_fit
def model(t, a, b, s, log_tau): return a + b * t + s * np.exp(-t / np.exp(log_tau))
out = []
for t, y in json.load(sys.stdin):
    t, y = np.array(t), np.array(y)
    best = None
    for start in (0.08, 0.3, 0.8):
        try: p, _ = curve_fit(model, t, y, p0=[y[-1], 0, y[0] - y[-1], np.log(start * t[-1])], maxfev=4000)
        except RuntimeError: continue
        left = ((y - model(t, *p)) ** 2).sum()
        if best is None or left < best[0]: best = (left, p)
    out.append([float(np.exp(best[1][3])), float(best[1][2])])
json.dump(out, sys.stdout)
`;

const series = (t: readonly number[], y: readonly number[]) => ({
  t: Float64Array.from(t),
  y: Float64Array.from(y),
  weight: Float64Array.from(t, () => 1),
});

/** Settling of a clear size on a slow leak, as a dwell of 300 s. */
function settling(source: Chance): [number[], number[]] {
  const [tau, size, leak] = [source.between(20, 150), source.between(4e4, 4e5), source.between(0, 500)];
  const t = Array.from({ length: 120 }, (_, i) => i * 2.5);
  return [t, t.map((s) => size * Math.exp(-s / tau) - leak * s + 100 * source.normal())];
}

/** Between 6.5 and 1 bar of one of the two chambers that empty, time from there on, in Pa. */
function emptying(number: number): [number[], number[]] {
  const rows = readFileSync(new URL(`data/air-chamber/chamber-${number}.csv`, import.meta.url), 'utf8')
    .trim()
    .split(/\r?\n/);
  const points = rows
    .map((row) => row.split(';'))
    .map(([time = '', , bar = '']) => [Number(time.replaceAll('.', '')) / 1e6, Number(bar) * 1e5] as const)
    .filter(([, pressure]) => pressure < 6.5e5 && pressure > 1e5);
  const first = points[0]?.[0] ?? 0;
  return [points.map(([time]) => time - first), points.map(([, pressure]) => pressure)];
}

describe('the exponential of a settling pressure, against curve_fit of SciPy and NIST StRD Misra1a', () => {
  it('the oracle finds the certified values of Misra1a to 8 digits', () => {
    const x = [77.6, 114.9, 141.1, 190.8, 239.9, 289, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760];
    const y = [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.4, 75.47, 81.78];
    const [b1 = 0, b2 = 0] = askPython(misra, [x, y]) as number[];
    expect(relative(b1, 238.94212918)).toBeLessThan(1e-7);
    expect(relative(b2, 5.5015643181e-4)).toBeLessThan(1e-7);
  });

  it('has the time constant of curve_fit to 1 % and its size to 3 %, on 200 random dwells', () => {
    const source = chance(seed);
    const traces = Array.from({ length: 200 }, () => settling(source));
    const theirs = askPython(bend, traces) as [number, number][];
    traces.forEach(([t, y], i) => {
      const found = bendsOf(series(t, y), t.at(-1) ?? 0).bestSettling;
      const [tau, size] = theirs[i] ?? [0, 0];
      expect(relative(found?.atS ?? 0, tau), `trace ${i}`).toBeLessThan(0.01);
      expect(relative(found?.sizePa ?? 0, size), `trace ${i}`).toBeLessThan(0.03);
    });
  });

  it.each([6, 7])('chamber %i empties with the time constant of curve_fit, to 2 %', (number) => {
    const [t, y] = emptying(number);
    const [[tau = 0] = []] = askPython(bend, [[t, y]]) as number[][];
    const found = bendsOf(series(t, y), t.at(-1) ?? 0).bestSettling;
    expect(relative(found?.atS ?? 0, tau)).toBeLessThan(0.02);
  });
});
