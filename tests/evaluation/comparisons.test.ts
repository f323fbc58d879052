import { describe, expect, it } from 'vitest';
import { compareCollected } from '../../src/evaluation/collected.js';
import { compareStages } from '../../src/evaluation/compare-stages.js';
import { evaluate } from './ensembles.js';
import { holdContext } from './holds.js';
import { chance, correlatedNoiseSource, simulatedDwell } from './trace-generator.js';

const at = (targetPa: number, leakDropPa: number) => {
  const source = chance(targetPa % 1e6);
  const dwell = simulatedDwell({
    source,
    durationS: 300,
    ratePerS: 10,
    startPa: targetPa,
    leakDropPa,
    noise: correlatedNoiseSource(source, 0, 5e3),
  });
  return evaluate(holdContext({ targetPa }), dwell);
};

describe('two dwells at different pressures', () => {
  it('four times the pressure: four times the leak is a gap, twice the leak is a hole', () => {
    const low = at(60e5, 0.5e5);
    expect(compareStages(low, at(240e5, 2e5)).law).toBe('laminar');
    expect(compareStages(at(240e5, 1e5), low).law).toBe('orifice');
    expect(compareStages(low, at(240e5, 6e5)).law).toBe('cannot tell');
  });

  it('the same pressure: the same rate is a leak, a smaller one is heat or creep', () => {
    expect(compareStages(at(240e5, 2e5), at(241e5, 2e5)).law).toBe('same rate');
    expect(compareStages(at(240e5, 2e5), at(241e5, 1e5)).law).toBe('cannot tell');
  });

  it('the later stage says so by itself', () => {
    const low = at(60e5, 0.5e5);
    const source = chance(12);
    const dwell = simulatedDwell({
      source,
      durationS: 300,
      ratePerS: 10,
      startPa: 240e5,
      leakDropPa: 2e5,
      noise: correlatedNoiseSource(source, 0, 5e3),
    });
    const flags = evaluate({ ...holdContext(), previousStages: [low] }, dwell).flags;
    expect(flags.find(({ code }) => code === 'stages-compared')?.text).toContain('in proportion to pressure');
  });

  it('no leak clear of its uncertainty: no law', () => {
    expect(compareStages(at(60e5, 0), at(240e5, 2e5))).toMatchObject({ law: 'cannot tell', ratio: null });
  });
});

describe('oil collected at the open port', () => {
  it.each([
    [5e-9, 4e-9, true],
    [5e-9, 2e-9, false],
    [2e-9, 5e-9, false],
    [5e-9, 0, false],
    [0, 0, true],
  ])('%d by the fall against %d collected: agrees %s', (decay, collected, agrees) => {
    expect(compareCollected({ leakM3PerS: decay, expandedU: 0 }, collected).agrees).toBe(agrees);
  });

  it('more by the pressure than in the cup: it leaves elsewhere', () => {
    expect(compareCollected({ leakM3PerS: 5e-9, expandedU: 0 }, 2e-9).text).toContain('elsewhere');
  });
});
