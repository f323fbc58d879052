import { describe, expect, it } from 'vitest';
import { drawHold } from './draw.js';
import { barrelModulusPa, chamberOf } from './geometry.js';
import { heatField } from './heat.js';
import { simulate } from './hold.js';
import type { HoldSpec, LeakCourse, LeakLaw } from './hold-spec.js';
import { simulateCourse, stepS, valueAt } from './physics.js';
import { steadyLeak } from './trial.js';

/** Bore 100, oil of the trade notes: 1.5 GPa whatever the pressure, 7.0e-4 per K, 870 kg/m3, 1900 J/(kg K), 300 K. */
const drawn = drawHold(1);
const plain: HoldSpec = {
  ...drawn,
  cylinder: { ...drawn.cylinder, boreM: 0.1, strokeM: 0.5, wallM: 10, port: 'A', lineM3: 1e-9, lineModulusPa: 1e18 },
  test: { ...drawn.test, targetPa: 250e5 },
  oil: {
    ...drawn.oil,
    modulusPa: 1.5e9,
    modulusRise: 0,
    expansionPerK: 7e-4,
    densityKgPerM3: 870,
    heatJPerKgK: 1900,
    startK: 300,
  },
  airFraction: 0,
  room: { startK: 300, driftKPerS: 0 },
  heat: { ...drawn.heat, flavour: 'lumped', convection: 1e-9, outsideWPerM2K: 0, lineApart: false },
  creep: null,
  operator: { ...drawn.operator, pump: { kind: 'steady', paPerS: 5e5 }, aimPa: 250e5, letBackToPa: null, heldS: 400 },
};
const isolated = { ...plain, oil: { ...plain.oil, conductivityWPerMK: 1e-9 } };
const noHeat = { ...isolated, oil: { ...isolated.oil, expansionPerK: 1e-12 } };

/** K_T gamma2 T/(rho c) of oil and barrel together: what tells K_S from K_T. */
const coupling = ((1 / (1 / 1.5e9 + 1 / barrelModulusPa(0.1, 20.1))) * 7e-4 ** 2 * 300) / (870 * 1900);

describe('oil under pressure', () => {
  it('pumped to 250 bar it warms by 3.18 K: gamma T dp/(rho c), 7e-4 x 300 x 250 bar/(870 x 1900)', () => {
    const { oilK, cylinderPa, rampEndS } = simulateCourse(isolated);
    const reached = valueAt(cylinderPa, rampEndS) / 250e5;
    expect((valueAt(oilK, rampEndS) - 300) / reached).toBeCloseTo(3.18, 1);
  });

  it('gives back 1 - K_T/K_S = K_T gamma2 T/(rho c) of its pressure once that heat has left', () => {
    const { cylinderPa, rampEndS } = simulateCourse({
      ...plain,
      heat: { ...plain.heat, convection: 1, nusselt: { a: 100, n: 0 } },
      operator: { ...plain.operator, pump: { kind: 'steady', paPerS: 125e5 }, heldS: 4000 },
    });
    const shut = valueAt(cylinderPa, rampEndS);
    const lost = shut - valueAt(cylinderPa, rampEndS + 3900);
    expect(lost / shut).toBeCloseTo(coupling, 2);
    expect(coupling).toBeCloseTo(0.131, 3);
  });

  it('an isolated rise takes K_S = K_T/(1 - K_T gamma2 T/(rho c)) of oil and barrel, at 301.6 K in the mean', () => {
    const { fedPa, cylinderPa, rampEndS } = simulateCourse(isolated);
    expect(valueAt(cylinderPa, rampEndS) / valueAt(fedPa, rampEndS)).toBeCloseTo(1 / (1 - (coupling * 301.6) / 300), 3);
  });
});

describe('a leak', () => {
  const withLeak = (law: LeakLaw, multiple: number): HoldSpec => ({
    ...noHeat,
    leaks: [{ law, course: { kind: 'steady', paPerS: (multiple * 5e5) / 300 } }],
  });

  it.each([
    // dp/dt = -r (p/p0)^n from p0 on: n 1 an exponential of time constant p0/r, n 1/2 a parabola, n 0 a line.
    { law: 'gap' as const, p: (t: number, p0: number, r: number) => p0 * Math.exp((-r * t) / 250e5) },
    {
      law: 'orifice' as const,
      p: (t: number, p0: number, r: number) => (Math.sqrt(p0) - (r * t) / 2 / Math.sqrt(250e5)) ** 2,
    },
    { law: 'constant' as const, p: (t: number, p0: number, r: number) => p0 - r * t },
  ])('by the law of $law empties as its differential equation says', ({ law, p }) => {
    const { cylinderPa, rampEndS, leakPa } = simulateCourse(withLeak(law, 20));
    const p0 = valueAt(cylinderPa, rampEndS + 1);
    for (const t of [30, 120, 250]) {
      const expected = p(t, p0, (20 * 5e5) / 300);
      expect(valueAt(cylinderPa, rampEndS + 1 + t) / expected).toBeCloseTo(1, 3);
      const lost = valueAt(leakPa, rampEndS + 1 + t) - valueAt(leakPa, rampEndS + 1);
      expect(lost / (p0 - expected)).toBeCloseTo(1, 3);
    }
  });

  it('of 1 x loses the allowed drop in a dwell: V/K dp/dt of 5 bar in 300 s on 3.927 L, 0.262 mL/min (check value 5)', () => {
    const hold = simulate(withLeak('constant', 1));
    expect(hold.truth.leakPa(70, 370)).toBeCloseTo(5e5, -2);
    const chamber = chamberOf(noHeat.cylinder);
    expect(((chamber.volumeM3 / 1.5e9) * (5e5 / 300) * 60) / 1e-6).toBeCloseTo(0.2618, 3);
  });
});

describe('the fall that a leak makes', () => {
  it('is the oil lost x K_T/V where heat passes freely, x K_S/V where it does not pass', () => {
    const course = { kind: 'steady', paPerS: 5e5 / 300 } as const;
    const ratio = (spec: HoldSpec): number => {
      const { truth } = simulate({ ...spec, leaks: [{ law: 'constant', course }] });
      return truth.fallByLeakPa(100, 400) / truth.leakPa(100, 400);
    };
    expect(ratio(isolated)).toBeCloseTo(1 / (1 - coupling), 2);
    const free = { ...plain, heat: { ...plain.heat, convection: 1, nusselt: { a: 5000, n: 0 } } };
    expect(ratio(free)).toBeCloseTo(1, 1);
  });
});

describe('a leak that changes', () => {
  it.each<{ course: LeakCourse; fromS: number; toS: number; lostPa: number }>([
    { course: { kind: 'late', fromS: 200, paPerS: 5e3 }, fromS: 100, toS: 300, lostPa: 5e5 },
    { course: { kind: 'stopping', untilS: 200, paPerS: 5e3 }, fromS: 100, toS: 300, lostPa: 5e5 },
    // A rate that rises as t^2 has lost an eighth at half of its time.
    { course: { kind: 'growing', fromS: 100, overS: 200, totalPa: 8e5, power: 2 }, fromS: 80, toS: 200, lostPa: 1e5 },
    { course: { kind: 'growing', fromS: 100, overS: 200, totalPa: 8e5, power: 2 }, fromS: 80, toS: 300, lostPa: 8e5 },
    // Two of the bursts overlap, a third lies outside.
    { course: { kind: 'bursts', atS: [150, 150.5, 400], eachPa: 1e5, lastsS: 1 }, fromS: 100, toS: 300, lostPa: 2e5 },
  ])('loses what its course says: $course', ({ course, fromS, toS, lostPa }) => {
    const { truth } = simulate({ ...noHeat, leaks: [{ law: 'constant', course }] });
    expect(truth.leakPa(fromS, toS) / lostPa).toBeCloseTo(1, 2);
    expect(truth.plainPa(fromS, toS) / lostPa).toBeCloseTo(1, 2);
  });

  it('changes nothing in the log before it begins', () => {
    const spec = drawHold(31, { probe: 'good' });
    const late = { ...spec, leaks: [{ law: 'gap', course: { kind: 'late', fromS: 300, paPerS: 5e3 } }] } as const;
    const earlier = (one: HoldSpec) => simulate(one).rows.filter(({ timeS }) => timeS < 299);
    expect(earlier(late)).toEqual(earlier(spec));
  });
});

describe('every hold', () => {
  it.each([11, 12, 13, 14, 15, 16])('of seed %i: the pressure is the sum of what changed it', (seed) => {
    const spec = drawHold(seed);
    const leaky = { ...spec, leaks: [steadyLeak(spec, 2)] };
    const { cylinderPa, leakPa, creepPa, fedPa, heatPa, bleedS } = simulateCourse(leaky);
    for (let at = 200; at * stepS < bleedS; at += 500) {
      const [p, leak, creep, fed, heat] = [cylinderPa, leakPa, creepPa, fedPa, heatPa].map((one) => one[at] ?? 0);
      expect(((fed ?? 0) - (leak ?? 0) - (creep ?? 0) + (heat ?? 0)) / (p ?? 1)).toBeCloseTo(1, 9);
    }
  });

  it.each(['lumped', 'radial'] as const)('%s heat: steel gains what the oil loses', (flavour) => {
    for (const port of ['A', 'B'] as const) {
      const spec: HoldSpec = {
        ...drawn,
        cylinder: { ...drawn.cylinder, port, lineM3: 1e-12 },
        heat: { ...drawn.heat, flavour, outsideWPerM2K: 0, lineApart: false },
      };
      const chamber = chamberOf(spec.cylinder);
      const field = heatField(spec, chamber);
      const start = field.oilK;
      field.compress(4);
      const oilHeat = spec.oil.densityKgPerM3 * spec.oil.heatJPerKgK * chamber.volumeM3;
      for (let i = 0; i < 20_000; i += 1) field.step(stepS, start);
      const steel = chamber.barrelHeatJPerK * (field.barrelK - start) + chamber.rodHeatJPerK * (field.rodK - start);
      const lost = oilHeat * (start + 4 - field.oilK);
      expect(lost).toBeGreaterThan(0.02 * 4 * oilHeat);
      expect(steel / lost).toBeCloseTo(1, 6);
    }
  });
});
