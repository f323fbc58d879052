import type { DwellContext } from '../../src/evaluation/context.js';
import type { AllowedDecay, DecisionRule, GaugeSpec, PortPlan, StagePlan } from '../../src/procedure/index.js';
import { pressureDifferencePa, pressurePa } from '../../src/units/index.js';

/** Figures of a hold that a test wants to choose; the rest are those of a 100/56 x 500 cylinder on port A. */
export interface HoldChoices {
  readonly dwellS?: number;
  readonly targetPa?: number;
  readonly allowed?: readonly AllowedDecay[];
  readonly decision?: DecisionRule;
  readonly judge?: StagePlan['judge'];
  readonly resolutionPa?: number;
  readonly stabilityPa?: number;
  readonly unmeasuredTemperatureK?: number;
  readonly thermalUPaPerK?: number;
  readonly neverBelowPa?: number;
  readonly overpressurePa?: number;
  readonly rises?: DwellContext['rises'];
  readonly benchCheckLeakM3PerS?: number;
}

/** A limit on the drop in pascals. */
export const dropLimit = (dropPa: number): AllowedDecay => ({
  kind: 'drop',
  dropPa: pressureDifferencePa(dropPa),
  source: 'a test',
});

export function holdContext(choices: HoldChoices = {}): DwellContext {
  const targetPa = choices.targetPa ?? 240e5;
  const stage: StagePlan = {
    name: 'proof',
    targetPa: pressurePa(targetPa),
    belowPa: pressureDifferencePa(0.02 * targetPa),
    abovePa: pressureDifferencePa(0.03 * targetPa),
    rampMaxPaPerS: 1e6,
    stabilise: { ratePaPerS: 833, forS: 30, giveUpAfterS: 600 },
    dwellS: choices.dwellS ?? 300,
    allowed: choices.allowed ?? [dropLimit(5e5)],
    decision: choices.decision ?? 'guarded',
    look: [],
    ...(choices.judge === undefined ? {} : { judge: choices.judge }),
    ...(choices.neverBelowPa === undefined ? {} : { neverBelowPa: pressurePa(choices.neverBelowPa) }),
  };
  const port: PortPlan = {
    port: 'A',
    position: 'extended',
    opposite: 'open',
    trapped: {
      volumeM3: 3.92699e-3,
      volumeUM3: 4e-5,
      bulkModulusPa: 1.5e9,
      bulkModulusUPa: 7.5e7,
      thermalPaPerK: 1.05e6,
      thermalUPaPerK: choices.thermalUPaPerK ?? 1e5,
      basis: 'bore x stroke; oil 1.5 GPa',
    },
    pistonAreaM2: (Math.PI / 4) * 0.1 ** 2,
    stages: [stage],
    overpressurePa: pressurePa(choices.overpressurePa ?? 1.06 * targetPa),
    oppositeLimitPa: pressurePa(10e5),
    zeroTolerancePa: pressureDifferencePa(1e5),
    bleedDown: { belowPa: pressurePa(2e5), forS: 10 },
    covers: [],
    notCovered: [],
    stiffness: { oilM3: 6e-5, oilUM3: 3e-6 },
  };
  const gauge: GaugeSpec = {
    serial: 'SN 40117',
    rangeLowPa: pressurePa(0),
    rangeHighPa: pressurePa(400e5),
    resolutionPa: pressureDifferencePa(choices.resolutionPa ?? 1e3),
    accuracyOfSpan: 0.0025,
    stabilityPa: pressureDifferencePa(choices.stabilityPa ?? 0),
  };
  return {
    stage,
    port,
    gauge,
    unmeasuredTemperatureK: choices.unmeasuredTemperatureK ?? 0,
    benchCheckLeakM3PerS: choices.benchCheckLeakM3PerS ?? null,
    previousStages: [],
    dropsPerMl: 20,
    ...(choices.rises ? { rises: choices.rises } : {}),
  };
}
