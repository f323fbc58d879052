import { describe, expect, it } from 'vitest';
import { readGauge } from '../../src/procedure/index.js';
import { dwellNeededS, gaugeStabilityPa, resolvableDropPa } from '../../src/procedure/plan/resolvable.js';
import { pressureDifferencePa } from '../../src/units/index.js';
import { chance } from './seeded.js';

const nothing = {
  dwellS: 300,
  readingsPerS: 10,
  noisePa: 0,
  resolutionPa: 0,
  stabilityPa: 0,
  temperatureBoundK: 0,
  thermalPaPerK: 9.26e5,
};

describe('the smallest fall that a dwell can tell from none', () => {
  it.each([
    ['resolution alone: two roundings of 0.1 bar', { resolutionPa: 1e4 }, 2 * 0.040825e5],
    ['stability alone, 0.1 bar', { stabilityPa: 1e4 }, (2 * 1e4) / Math.sqrt(3)],
    ['oil temperature unknown to 0.1 K', { temperatureBoundK: 0.1 }, (2 * 0.926e5) / Math.sqrt(3)],
    ['noise of 0.1 bar at 10 readings a second', { noisePa: 1e4 }, 2 * 1e4 * Math.sqrt(12 / 3000)],
  ])('%s', (_, part, expectedPa) => {
    const relative = resolvableDropPa({ ...nothing, ...part }) / expectedPa;
    expect(relative).toBeCloseTo(1, 3);
  });

  it('the noise part is what least squares on white noise really scatters by', () => {
    const { normal } = chance(7);
    const [readings, dwellS, noisePa] = [200, 20, 1e4];
    const falls = Array.from({ length: 1000 }, () => {
      let [sum, square] = [0, 0];
      for (let index = 0; index < readings; index += 1) {
        const time = ((index - (readings - 1) / 2) * dwellS) / readings;
        sum += time * noisePa * normal();
        square += time * time;
      }
      return (sum / square) * dwellS;
    });
    const scatter = Math.sqrt(falls.reduce((total, fall) => total + fall ** 2, 0) / falls.length);
    const formula = resolvableDropPa({ ...nothing, dwellS, readingsPerS: readings / dwellS, noisePa }) / 2;
    expect(scatter / formula).toBeGreaterThan(0.93);
    expect(scatter / formula).toBeLessThan(1.07);
  });

  it('a longer dwell resolves a smaller leak, and a smaller fall only as far as noise goes', () => {
    const at = (dwellS: number) => resolvableDropPa({ ...nothing, dwellS, noisePa: 1e4, temperatureBoundK: 0.1 });
    expect(at(600) / 600).toBeLessThan(at(300) / 300);
    expect(at(600)).toBeLessThan(at(300));
    expect(at(86_400)).toBeGreaterThan((2 * 0.926e5) / Math.sqrt(3));
  });
});

describe('the dwell that a limit needs', () => {
  const conditions = { ...nothing, temperatureBoundK: 0.1 };
  const resolvedPa = resolvableDropPa(conditions);

  it('a rate limit needs twice the resolvable fall over the rate', () => {
    const ratePaPerS = 500;
    const needed = dwellNeededS(conditions, (dwellS) => ratePaPerS * dwellS);
    expect(needed).toBeGreaterThanOrEqual((2 * resolvedPa) / ratePaPerS);
    expect(needed).toBeLessThan((2 * resolvedPa) / ratePaPerS + 2);
  });

  it('no dwell helps a drop limit below what the temperature hides', () =>
    expect(dwellNeededS(conditions, () => resolvedPa)).toBeNull());

  it('at that dwell the limit is twice the resolvable fall, just before it is not', () => {
    const noisy = { ...conditions, noisePa: 5e4 };
    const allowed = (dwellS: number) => 300 * dwellS;
    const needed = dwellNeededS(noisy, allowed) ?? 0;
    expect(resolvableDropPa({ ...noisy, dwellS: needed }) / allowed(needed)).toBeLessThanOrEqual(0.5);
    expect(resolvableDropPa({ ...noisy, dwellS: needed - 3 }) / allowed(needed - 3)).toBeGreaterThan(0.5);
  });
});

describe('stability of a gauge over a dwell', () => {
  const gauge = readGauge({ serial: 'P7', range: '0..400 bar', resolution: '0.1 bar', accuracy: '0.25 %FS' });
  it('a tenth of the accuracy when nothing is stated', () => expect(gaugeStabilityPa(gauge)).toBeCloseTo(1e4, 6));
  it('its own figure when there is one', () =>
    expect(gaugeStabilityPa({ ...gauge, stabilityPa: pressureDifferencePa(3e3) })).toBe(3e3));
});
