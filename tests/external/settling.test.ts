import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { bendsOf } from '../../src/evaluation/shape/bend.js';
import { lineOf } from './line.js';

/** Air chambers that empty (EvaZillen/3D-printed-pneumatic-actuator, CC0, data/README.md), between 6.5 and 1 bar. */
const emptying = (number: number): { t: number; pa: number }[] =>
  readFileSync(new URL(`data/air-chamber/chamber-${number}.csv`, import.meta.url), 'utf8')
    .trim()
    .split(/\r?\n/)
    .map((row) => row.split(';'))
    .map(([time = '', , bar = '']) => ({ t: Number(time.replaceAll('.', '')) / 1e6, pa: Number(bar) * 1e5 }))
    .filter(({ pa }) => pa < 6.5e5 && pa > 1e5);

/** y = b1 (1 - exp(-b2 x)) of NIST StRD Misra1a, with its certified values. */
const misra = { b1: 238.94212918, b2: 5.5015643181e-4 } as const;

describe('the certified curve of Misra1a, NIST StRD (nonlinear), drawn over one to four of its constants', () => {
  it.each([1, 2, 4])('over %i: the time constant 1/b2, 1818, and the size b1, to 1 %%', (constants) => {
    const lastS = constants / misra.b2;
    const t = Float64Array.from({ length: 601 }, (_, i) => (lastS * i) / 600);
    const y = t.map((x) => misra.b1 * (1 - Math.exp(-misra.b2 * x)));
    const found = bendsOf({ t, y, weight: t.map(() => 1) }, lastS).bestSettling;
    expect(Math.abs((found?.atS ?? 0) * misra.b2 - 1)).toBeLessThan(0.01);
    expect(Math.abs((found?.sizePa ?? 0) / -misra.b1 - 1)).toBeLessThan(0.01);
  });
});

describe('chambers 6 and 7, time constants 21.1 and 7.2 s by least squares of the logarithm (SciPy 1.10.1)', () => {
  it.each([
    [6, 21.1],
    [7, 7.2],
  ])('chamber %i: %f s', (number, tau) => {
    const points = emptying(number);
    const { slope } = lineOf(
      points.map(({ t }) => t),
      points.map(({ pa }) => Math.log(pa)),
    );
    expect(-1 / slope).toBeCloseTo(tau, 1);
  });
});
