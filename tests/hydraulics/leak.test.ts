import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  clearanceConductance,
  clearanceFlowM3PerS,
  decayForLeakPaPerS,
  driftM,
  dropsToM3,
  fallIntoDeadVolumePa,
  laminarDecay,
  leakForDecayM3PerS,
  m3ToDrops,
  orificeDecay,
  orificeFlowM3PerS,
  pistonAreaM2,
  usualDropsPerMl,
} from '../../src/hydraulics/index.js';
import { pressureDifferencePa } from '../../src/units/index.js';
import { bar, cylinder100 } from './sample-cylinder.js';

const held = { volumeM3: 3.92699e-3, bulkModulusPa: 1.5e9 };

/** Pressure after a time by small steps (midpoint rule), for any leak law. */
function stepped(startPa: number, leakM3PerS: (pressurePa: number) => number, afterS: number): number {
  const steps = 20_000;
  const stepS = afterS / steps;
  let pressurePa = startPa;
  for (let step = 0; step < steps; step += 1) {
    const halfway = pressurePa - (decayForLeakPaPerS(held, leakM3PerS(pressurePa)) * stepS) / 2;
    pressurePa -= decayForLeakPaPerS(held, leakM3PerS(halfway)) * stepS;
  }
  return pressurePa;
}

describe('leak and decay', () => {
  it('are one figure seen from two sides', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e-6, max: 1e-6, noNaN: true }), (leak) => {
        expect(leakForDecayM3PerS(held, decayForLeakPaPerS(held, leak))).toBeCloseTo(leak, 18);
      }),
    );
  });

  it('a laminar leak decays as the integrated law says', () => {
    const conductance = 0.26e-6 / 60 / 250e5;
    const closed = laminarDecay(held, bar(250), conductance, 3600);
    expect(closed / stepped(250e5, (pressure) => conductance * pressure, 3600)).toBeCloseTo(1, 9);
    expect(closed).toBeLessThan(200e5);
  });

  it('an orifice leak decays as the integrated law says, and stops at zero', () => {
    const atStart = 5e-6 / 60;
    const closed = orificeDecay(held, bar(250), atStart, 600);
    expect(closed / stepped(250e5, (pressure) => atStart * Math.sqrt(pressure / 250e5), 600)).toBeCloseTo(1, 9);
    expect(closed).toBeLessThan(100e5);
    expect(orificeDecay(held, bar(250), atStart, 1e6)).toBe(0);
    expect(orificeDecay(held, bar(0), atStart, 10)).toBe(0);
  });
});

describe('leak laws', () => {
  const gap = { diameterM: 0.1, gapM: 25e-6, lengthM: 0.05 };

  it('a clearance leaks with the cube of its gap', () => {
    const wide = clearanceConductance({ ...gap, gapM: 50e-6 }, 0.04);
    expect(wide / clearanceConductance(gap, 0.04)).toBeCloseTo(8, 12);
  });

  it('a clearance that touches at one side leaks 2.5 times as much', () => {
    const difference = pressureDifferencePa(160e5);
    const touching = clearanceFlowM3PerS({ ...gap, eccentricity: 1 }, difference, 0.04);
    expect(touching / clearanceFlowM3PerS(gap, difference, 0.04)).toBeCloseTo(2.5, 12);
  });

  it('an orifice leaks with the root of the pressure and in the direction of the difference', () => {
    const flow = (pressure: number) => orificeFlowM3PerS({ diameterM: 1e-4 }, pressureDifferencePa(pressure), 870);
    expect(flow(160e5) * 6e7).toBeCloseTo(55.1, 1);
    expect(flow(40e5) / flow(160e5)).toBeCloseTo(0.5, 12);
    expect(flow(-160e5)).toBe(-flow(160e5));
    expect(flow(0)).toBe(0);
  });
});

describe('a missing piston seal behind a blocked port', () => {
  it('costs a little pressure and no more, the more the larger the dead volume', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1e-3, noNaN: true }), (deadM3) => {
        const fall = fallIntoDeadVolumePa(bar(250), held.volumeM3, deadM3);
        const shared = bar(250) - fall;
        expect(shared * (held.volumeM3 + deadM3)).toBeCloseTo(250e5 * held.volumeM3, 3);
      }),
    );
  });
});

describe('drops and drift', () => {
  it('six drops a minute are 0.3 mL at 20 to the millilitre, 0.375 mL at 16', () => {
    expect(usualDropsPerMl).toBe(20);
    expect(dropsToM3(6) * 1e6).toBeCloseTo(0.3, 12);
    expect(dropsToM3(6, 16) * 1e6).toBeCloseTo(0.375, 12);
    expect(m3ToDrops(dropsToM3(6, 16), 16)).toBeCloseTo(6, 12);
  });

  it('the rod creeps by oil over area, more on the ring than on the bore', () => {
    expect(driftM(3e-6, pistonAreaM2(cylinder100, 'A')) * 1e3).toBeCloseTo(0.382, 3);
    expect(driftM(3e-6, pistonAreaM2(cylinder100, 'B')) * 1e3).toBeCloseTo(0.556, 3);
  });
});
