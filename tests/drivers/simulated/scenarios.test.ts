import { describe, expect, it } from 'vitest';
import { driver, jobText, procedureText, scenarioNamed, scenarios } from '../../../drivers/simulated/index.js';
import { readingFlags } from '../../../src/gauge/index.js';
import { judged } from './judged.js';

describe('the demo cylinders', () => {
  it.each(scenarios.map((scenario) => [scenario.id, scenario] as const))(
    '%s: the verdict is what the truth demands, and the leak is the true one within its uncertainty',
    async (_id, scenario) => {
      const { result, gauge } = await judged(scenario, 1);
      expect(Object.fromEntries(result.ports.map(({ port, verdict }) => [port, verdict]))).toEqual(
        scenario.truth.verdict,
      );
      for (const { port, stages, stiffness } of result.ports) {
        // Not the volume of the job, or free air that goes into solution: the verdict says so, and no leak is stated for true.
        if (stiffness.verdict === 'too-stiff' || stiffness.finding === 'free air') continue;
        for (const stage of stages) {
          if (stage.dwellStartUs === null || stage.dwellEndUs === null) continue;
          const truth = gauge.truth().between(stage.dwellStartUs, stage.dwellEndUs);
          const wrongBy = Math.abs((stage.leakM3PerS ?? Number.NaN) - truth.leakM3PerS);
          // Heat that reaches the steel and grows the bore is in the truth and in no reading: 0.01 mL/min and less.
          expect(wrongBy, `port ${port}`).toBeLessThan((stage.leakUncertaintyM3PerS ?? 0) + 0.01e-6 / 60);
        }
      }
    },
  );

  it('are four cylinders and a trap, two jobs in psi, and none goes over its range or over 106 % of its target', async () => {
    expect(scenarios.map(({ id }) => id)).toEqual(['tight', 'piston-seal', 'gland', 'air', 'shut-valve']);
    expect(scenarios.filter(({ units }) => units === 'psi')).toHaveLength(2);
    const gauge = driver.create({ scenario: 'gland', port: 'B', seed: 2, speed: 0 });
    await gauge.open();
    let highest = 0;
    let flags = 0;
    for await (const item of gauge.items()) {
      if (item.kind !== 'reading') continue;
      highest = Math.max(highest, item.reading.pressurePa ?? 0);
      flags |= item.reading.flags & readingFlags.overRange;
    }
    const { targetPa } = scenarioNamed('gland').hold;
    expect(flags).toBe(0);
    expect(highest / targetPa).toBeGreaterThan(1.02);
    expect(highest / targetPa).toBeLessThan(1.05);
  });

  it('write their job and procedure in the units of their customer', () => {
    expect(jobText(scenarioNamed('gland'))).toContain('bore           = "4 in"');
    expect(jobText(scenarioNamed('gland'))).toContain('rated_pressure = "3000 psi"');
    expect(jobText(scenarioNamed('tight'), { procedure: 'cylinder-proof' })).toContain('procedure  = "cylinder-proof"');
    expect(procedureText(scenarioNamed('tight'))).toContain(
      'stabilise = { rate = "3 bar/min", for = "30 s", give_up_after = "10 min" }',
    );
    expect(procedureText(scenarioNamed('gland'))).toContain('allowed_decay = { leak = "0.25 mL/min" }');
  });

  it('a name that is none is refused with the names that are', () => {
    expect(() => scenarioNamed('loose')).toThrow(
      'no scenario "loose" (known: tight, piston-seal, gland, air, shut-valve)',
    );
    expect(() => driver.create({ scenario: 'loose' })).toThrow('setting "scenario" of simulated');
    expect(() => driver.create({ scenario: 'tight', sped: 2 })).toThrow('simulated has no setting "sped"');
  });
});
