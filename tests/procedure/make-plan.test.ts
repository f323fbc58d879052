import { describe, expect, it } from 'vitest';
import { cautionsFor, governingLimit, makePlan, readProcedure } from '../../src/procedure/index.js';
import { allowedDropPa } from '../../src/procedure/plan/allowed-decay.js';
import { DwellmarkError, pressureDifferencePa, pressurePa } from '../../src/units/index.js';
import { planned, portB, templateText } from './sample-job.js';

describe('a plan', () => {
  it('turns shares into pressures', () => {
    const { plan } = planned();
    const [port] = plan.ports;
    expect(port).toMatchObject({
      port: 'A',
      overpressurePa: 1.06 * 240e5,
      oppositeLimitPa: 160e5,
      zeroTolerancePa: 1e5,
    });
    expect(port?.stages[0]).toMatchObject({
      name: 'proof',
      targetPa: 240e5,
      belowPa: 4.8e5,
      abovePa: 12e5,
      rampMaxPaPerS: 10e5,
      dwellS: 300,
      allowed: [{ kind: 'percent', fraction: 0.02 }],
      decision: 'guarded',
    });
    expect(plan).toMatchObject({ attemptsCap: 3, dropsPerMl: 20, unmeasuredTemperatureK: 0.1 });
  });

  it('a share of the test is a share of the highest stage', () => {
    const [port] = planned({ template: 'pump-then-booster', job: [portB] }).plan.ports;
    expect(port?.stages.map(({ targetPa }) => targetPa / 1e5)).toEqual([144, 240]);
  });

  it('a low stage is void above its own limit', () =>
    expect(planned({ template: 'low-then-proof' }).plan.ports[0]?.stages[0]).toMatchObject({
      targetPa: 5e5,
      voidAbovePa: 10e5,
    }));

  it('is plain JSON, and so are its figures', () => {
    const { plan, figures, findings } = planned({ job: [portB] });
    for (const value of [plan, figures, findings]) expect(JSON.parse(JSON.stringify(value))).toEqual(value);
  });

  it('the same job twice gives the same plan', () => expect(planned()).toEqual(planned()));

  it('oil, strokes and time to the test pressure', () => {
    const [port] = planned({
      job: [['relief = "250 bar"', 'relief = "250 bar"\nbooster_stroke = "9 mL"\npump_flow = "0.5 L/min"']],
    }).figures.ports;
    expect((port?.oilM3 ?? 0) * 1e6).toBeCloseTo(73.54, 1);
    expect(port?.boosterStrokes).toBe(9);
    expect(port?.pumpS).toBeCloseTo(8.82, 1);
  });

  it('without a booster or a pump flow there are none', () =>
    expect(planned().figures.ports[0]).toMatchObject({ boosterStrokes: null, pumpS: null, oppositePa: null }));

  it('free air asks for more oil and stores more energy', () => {
    const dry = planned().figures.ports[0];
    const aerated = planned({ job: [['kind = "ISO VG 46"', 'kind = "ISO VG 46"\nair = "1 %"']] }).figures.ports[0];
    expect(((aerated?.oilM3 ?? 0) - (dry?.oilM3 ?? 0)) * 1e6).toBeCloseTo(43.1, 0);
    expect(aerated?.storedAirJ).toBeCloseTo(8.67, 1);
    expect(dry?.storedAirJ).toBe(0);
  });

  it('only the ports asked for', () => {
    expect(planned({ job: [portB], demand: { ports: ['B'] } }).plan.ports.map(({ port }) => port)).toEqual(['B']);
    expect(() => planned({ demand: { ports: ['B'] } })).toThrowError(/the job has no port B/);
  });

  it('a stage may be for one port only', () => {
    const { plan } = planned({
      job: [portB],
      template: 'low-then-proof',
      procedure: [['name       = "low"', 'name       = "low"\nports = ["B"]']],
    });
    expect(plan.ports.map(({ stages }) => stages.map(({ name }) => name))).toEqual([['proof'], ['low', 'proof']]);
  });

  it('a port without any stage is refused, in the procedure file', () => {
    const files = { job: 'job.toml', procedure: 'low.toml' };
    expect(() =>
      planned({ procedure: [['name     = "proof"', 'name     = "proof"\nports = ["B"]']], demand: { files } }),
    ).toThrowError(expect.objectContaining({ place: { file: 'low.toml', key: 'stage.ports' } }));
  });

  it('bar and psi mixed up are refused', () => {
    const mixed = () =>
      planned({
        job: [
          ['0..400 bar', '0..400 psi'],
          ['0.1 bar', '0.1 psi'],
        ],
        demand: { files: { job: 'job.toml', procedure: 'p.toml' } },
      });
    expect(mixed).toThrowError(DwellmarkError);
    expect(mixed).toThrowError(
      expect.objectContaining({ code: 'input', place: { file: 'job.toml', key: 'gauge.range' } }),
    );
    expect(mixed).toThrowError(/240.bar is 3481.psi, and gauge SN 40117 ends at 400.psi/);
  });

  it('a bench check takes the lines alone, and says nothing of the cylinder', () => {
    const { plan, figures } = planned({ template: 'bench-check' });
    expect(plan.ports[0]?.trapped.volumeM3).toBe(0.4e-3);
    expect(plan.ports[0]?.notCovered).toEqual(['the cylinder']);
    expect(figures.ports[0]).toMatchObject({ rodForceN: 0, oppositePa: null });
    expect(() => planned({ template: 'bench-check', job: [['line_volume = "0.4 L"\n', '']] })).toThrowError(
      /line volume/,
    );
  });

  it("the job's bound of the oil temperature goes before the procedure's, and that before the program's", () => {
    const own: readonly [string, string] = ['\n[[stage]]\n', '\noil_temperature_change = "0.2 K"\n\n[[stage]]\n'];
    const jobs: readonly [string, string] = ['procedure =', 'oil_temperature_change = "0.3 K"\nprocedure ='];
    const bound = (change: Parameters<typeof planned>[0]) => {
      const { unmeasuredTemperatureK, boundBy } = planned(change).plan;
      return [unmeasuredTemperatureK, boundBy];
    };
    expect(bound({})).toEqual([0.1, 'program']);
    expect(bound({ procedure: [own] })).toEqual([0.2, 'procedure']);
    expect(bound({ procedure: [own], job: [jobs] })).toEqual([0.3, 'job']);
  });

  it('a stage judges the plain drop only where its procedure says so', () => {
    expect(planned().plan.ports[0]?.stages[0]).not.toHaveProperty('judge');
    const { plan } = planned({ procedure: [['decision = "guarded"', 'decision = "guarded"\njudge = "plain drop"']] });
    expect(plan.ports[0]?.stages[0]?.judge).toBe('plain drop');
  });

  it('an edited template keeps its own hash and is no longer as shipped', () => {
    const { job } = planned();
    if (job.gauge.kind !== 'stated') throw new Error('the sample job states its gauge');
    const { plan } = makePlan({
      job,
      procedure: readProcedure(templateText('cylinder-proof'), { file: 'x' }),
      procedureSha256: 'ab'.repeat(32),
      asShipped: false,
      gauge: job.gauge.spec,
      attendance: 'unattended',
    });
    expect(plan.procedure).toMatchObject({ id: 'cylinder-proof', sha256: 'ab'.repeat(32), asShipped: false });
  });
});

describe('levels that contradict each other are refused, in the procedure file', () => {
  const files = { job: 'job.toml', procedure: 'p.toml' };
  it.each<[string, string, Parameters<typeof planned>[0], RegExp]>([
    [
      'an overpressure limit below the target',
      'limits.overpressure',
      { procedure: [['"106 %"', '"1.4 x rated"']] },
      /224\.0.bar is at or below the target of stage "proof" 240\.0.bar/,
    ],
    [
      'a void level inside the band',
      'stage.low.void_above',
      { template: 'low-then-proof', procedure: [['"10 bar"          #', '"6 bar"          #']] },
      /6\.0.bar is inside the band/,
    ],
    [
      'a floor at the target',
      'stage.proof.never_below',
      { procedure: [['above    = "5 %"', 'never_below = "100 %"\nabove = "5 %"']] },
      /not below the target/,
    ],
    [
      'a start band down to nothing',
      'stage.proof.below',
      { procedure: [['below    = "2 %"', 'below = "100 %"']] },
      /as wide as the target/,
    ],
    [
      'a bleed-down that ends above a stage',
      'bleed_down.below',
      { template: 'low-then-proof', procedure: [['"2 bar"\nfor', '"6 bar"\nfor']] },
      /6\.0.bar is not below the target of stage "low", 5\.0.bar/,
    ],
  ])('%s', (_, key, change, message) => {
    const make = () => planned({ ...change, demand: { files } });
    expect(make).toThrowError(expect.objectContaining({ code: 'input', place: { file: 'p.toml', key } }));
    expect(make).toThrowError(message);
  });

  it('a floor below the target is part of the plan', () =>
    expect(
      planned({ procedure: [['above    = "5 %"', 'never_below = "95 %"\nabove = "5 %"']] }).plan.ports[0]?.stages[0]
        ?.neverBelowPa,
    ).toBeCloseTo(228e5, 3));
});

describe('the limit that governs', () => {
  const { plan } = planned();
  const trapped = {
    volumeM3: 3.92699e-3,
    volumeUM3: 0,
    bulkModulusPa: 1.5e9,
    bulkModulusUPa: 0,
    thermalPaPerK: 1e6,
    thermalUPaPerK: 0,
    basis: '',
  };
  const source = 'order';
  const at = pressurePa(250e5);

  it.each([
    ['5 bar', { kind: 'drop', dropPa: pressureDifferencePa(5e5), source }, 5e5],
    ['2 % of 250 bar', { kind: 'percent', fraction: 0.02, source }, 5e5],
    ['1 bar/min for 5 min', { kind: 'rate', ratePaPerS: 1e5 / 60, source }, 5e5],
    ['0.2 mL/min for 5 min', { kind: 'leak', leakM3PerS: 0.2e-6 / 60, source }, 3.82e5],
  ] as const)('%s', (_, limit, pa) => expect(allowedDropPa(limit, at, 300, trapped)).toBeCloseTo(pa, -3));

  it('is the strictest over this dwell: a leak limit on a short one, a drop on a long one', () => {
    const limits = [
      { kind: 'drop', dropPa: pressureDifferencePa(5e5), source },
      { kind: 'leak', leakM3PerS: 0.2e-6 / 60, source },
    ] as const;
    expect(governingLimit(limits, at, 300, trapped)?.limit.kind).toBe('leak');
    expect(governingLimit(limits, at, 600, trapped)?.limit.kind).toBe('drop');
  });

  it('is none where time, level and looking decide', () =>
    expect(governingLimit([], at, 300, plan.ports[0]?.trapped ?? trapped)).toBeNull());
});

describe('cautions', () => {
  const { job } = planned({ job: [portB] });
  const [a] = job.ports;
  if (!a) throw new Error('the sample job has port A');

  it('stand at the moments where they matter', () => {
    expect(cautionsFor('before pressure', job, a).join(' ')).toMatch(/in line with the rod.*Your local codes/);
    expect(cautionsFor('bleed-down', job, a).join(' ')).toMatch(/Pump off is not pressure off/);
    expect(cautionsFor('before opening', job, a).join(' ')).toMatch(/zero is not a cylinder at zero/);
  });

  it('an open port has no caution for a closed one', () => {
    expect(cautionsFor('before a closed port', job, a)).toEqual([]);
    expect(cautionsFor('before a closed port', job, { ...a, opposite: 'blocked' })).not.toEqual([]);
    expect(cautionsFor('bleed-down', job, { ...a, opposite: 'blocked' })[0]).toMatch(/bleed that port too/);
  });

  it('a restrained rod has its own', () =>
    expect(cautionsFor('before pressure', job, { ...a, position: 'mid-stroke restrained' })[0]).toMatch(/holds it/));

  it('none of them says that anything is safe', () => {
    for (const moment of ['before pressure', 'before a closed port', 'dwell', 'bleed-down', 'before opening'] as const)
      for (const text of cautionsFor(moment, job, { ...a, opposite: 'blocked' })) expect(text).not.toMatch(/\bsafe/i);
  });
});
