import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createLineFit } from '../../src/evaluation/index.js';
import { settleWaitS } from '../../src/hydraulics/index.js';
import { pressureDifferencePa } from '../../src/units/index.js';

/** Air chambers that empty (EvaZillen/3D-printed-pneumatic-actuator, CC0, data/README.md), between 6.5 and 1 bar. */
const emptying = (number: number): { t: number; pa: number }[] =>
  readFileSync(new URL(`data/air-chamber/chamber-${number}.csv`, import.meta.url), 'utf8')
    .trim()
    .split(/\r?\n/)
    .map((row) => row.split(';'))
    .map(([time = '', , bar = '']) => ({ t: Number(time.replaceAll('.', '')) / 1e6, pa: Number(bar) * 1e5 }))
    .filter(({ pa }) => pa < 6.5e5 && pa > 1e5);

describe('chambers 6 and 7, time constants 21.1 and 7.2 s by least squares of the logarithm (SciPy 1.10.1)', () => {
  it.each([
    [6, 21.1],
    [7, 7.2],
  ])('chamber %i: %f s, and the wait until it is ten times slower is that of the trace', (number, tau) => {
    const points = emptying(number);
    const fit = createLineFit();
    for (const { t, pa } of points) fit.add(t, Math.log(pa));
    const { slope, intercept } = fit.result();
    expect(-1 / slope).toBeCloseTo(tau, 1);
    const [first] = points;
    if (!first) throw new Error('the chamber has no points');
    // Ten times slower than at its start is ten times lower: computed from the definition of an exponential.
    const startPa = Math.exp(intercept + slope * first.t);
    const wait = settleWaitS(pressureDifferencePa(startPa), -1 / slope, startPa / (-1 / slope) / 10);
    expect(wait).toBeCloseTo(tau * Math.LN10, 0);
  });
});
