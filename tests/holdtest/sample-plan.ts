import type { TrappedOil } from '../../src/hydraulics/index.js';
import type { PortPlan, StagePlan, TestPlan } from '../../src/procedure/index.js';
import { pressureDifferencePa, pressurePa, temperatureDifferenceK } from '../../src/units/index.js';

const bar = 1e5;

/** 100/56 x 500, mineral oil: 3.93 L at 1.5 GPa. */
export const sampleTrapped: TrappedOil = {
  volumeM3: 3.92699e-3,
  volumeUM3: 4e-5,
  bulkModulusPa: 1.5e9,
  bulkModulusUPa: 7.5e7,
  thermalPaPerK: 1.05e6,
  thermalUPaPerK: 1e5,
  basis: 'sample',
};

export const sampleStage = (over: Partial<StagePlan> = {}): StagePlan => ({
  name: 'proof',
  targetPa: pressurePa(240 * bar),
  belowPa: pressureDifferencePa(5 * bar),
  abovePa: pressureDifferencePa(10 * bar),
  rampMaxPaPerS: 10 * bar,
  stabilise: { ratePaPerS: (0.5 * bar) / 60, forS: 30, giveUpAfterS: 600 },
  dwellS: 120,
  allowed: [{ kind: 'drop', dropPa: pressureDifferencePa(2 * bar), source: 'sample' }],
  decision: 'guarded',
  look: ['rod seal and wiper'],
  ...over,
});

export const samplePort = (over: Partial<PortPlan> = {}): PortPlan => ({
  port: 'A',
  position: 'extended',
  opposite: 'open',
  trapped: sampleTrapped,
  stages: [sampleStage()],
  overpressurePa: pressurePa(254.4 * bar),
  oppositeLimitPa: pressurePa(160 * bar),
  zeroTolerancePa: pressureDifferencePa(1 * bar),
  bleedDown: { belowPa: pressurePa(2 * bar), forS: 10 },
  covers: ['piston seal'],
  notCovered: ['rod seal'],
  stiffness: { oilM3: 65.4e-6, oilUM3: 5e-6 },
  ...over,
});

export const samplePlan = (over: Partial<TestPlan> = {}): TestPlan => ({
  format: 'dwellmark plan 1',
  procedure: { id: 'sample', title: 'Sample', revision: '1', source: 'sample', sha256: '', asShipped: false },
  gauge: {
    serial: 'G-1',
    rangeLowPa: pressurePa(0),
    rangeHighPa: pressurePa(400 * bar),
    resolutionPa: pressureDifferencePa(0.01 * bar),
    accuracyOfSpan: 0.0025,
  },
  ports: [samplePort()],
  attendance: 'unattended',
  attemptsCap: 3,
  dropsPerMl: 20,
  unmeasuredTemperatureK: temperatureDifferenceK(0),
  ...over,
});
