import {
  boosterStrokes,
  expectedStiffness,
  fallAsHeatLeavesPa,
  heatOfCompressionK,
  holdCoverage,
  intensifiedPressure,
  leakForDecayM3PerS,
  type PortName,
  pistonForceN,
  storedEnergy,
  thrustBearer,
} from '../../hydraulics/index.js';
import {
  type Pressure,
  pressureDifferencePa,
  pressurePa,
  temperatureDifferenceK,
  temperatureK,
} from '../../units/index.js';
import type { GaugeSpec } from '../gauge-spec.js';
import type { Job, JobPort } from '../job.js';
import type { PortPlan, StagePlan } from '../plan-types.js';
import type { Procedure } from '../procedure.js';
import { governingLimit } from './allowed-decay.js';
import { benchReach, ratedAtPa } from './bench-reach.js';
import type { Assumed, GaugeFigures, PortFigures, StageFigures } from './figures.js';
import { shutIn } from './port-plan.js';
import {
  type DwellConditions,
  dwellNeededS,
  gaugeAccuracyPa,
  gaugeStabilityPa,
  resolvableDropPa,
} from './resolvable.js';

/** Relief valve over test pressure: common practice, no source. */
const reliefOverTest = 1.2;

/** A shop's air when nobody measured the oil: 20 °C. */
const workshop = temperatureK(293.15);

/** Dwell times for which the smallest resolvable fall is tabled, s. */
const tabledDwellsS = [60, 180, 300, 600, 1800, 3600] as const;

export const gaugeFigures = (gauge: GaugeSpec): GaugeFigures => ({
  serial: gauge.serial,
  rangeLowPa: gauge.rangeLowPa,
  rangeHighPa: gauge.rangeHighPa,
  resolutionPa: gauge.resolutionPa,
  accuracyPa: gaugeAccuracyPa(gauge),
  stabilityPa: gaugeStabilityPa(gauge),
  calibrationDue: gauge.calibration?.due ?? null,
});

/** What one port will need. */
export function portFigures(
  job: Job,
  procedure: Procedure,
  jobPort: JobPort,
  plan: PortPlan,
  gauge: GaugeFigures,
  assumed: Assumed,
): PortFigures {
  const { port, trapped } = plan;
  const testPa = pressurePa(Math.max(...plan.stages.map((stage) => stage.targetPa)));
  const hold = shutIn(job, procedure, jobPort);
  const oil = expectedStiffness(hold, pressurePa(0), testPa);
  const onCylinder = procedure.subject === 'cylinder';
  const { pumpFlowM3PerS, boosterStrokeM3 } = job.bench;
  const stored = storedEnergy({
    volumeM3: trapped.volumeM3,
    bulkModulusPa: (trapped.volumeM3 * testPa) / (oil.oilM3 - oil.split.airM3),
    at: testPa,
    freeAirM3: (job.airFraction ?? 0) * trapped.volumeM3,
  });
  const heatFallPa = fallAsHeatLeavesPa(job.fluid, workshop, testPa, trapped.bulkModulusPa);
  const bench = benchReach(job, jobPort);
  const bearer = thrustBearer(job.cylinder.kind, port, plan.position, plan.restrained === true);
  // The pump goes as far as it can, and the booster on from there.
  const boostedFrom = pressurePa(Math.min(bench.pumpPa ?? 0, testPa));
  const closed = onCylinder && plan.opposite !== 'open';
  return {
    port,
    position: plan.position,
    opposite: plan.opposite,
    covers: plan.covers,
    notCovered: plan.notCovered,
    remarks: onCylinder
      ? holdCoverage(job.cylinder.kind, port, plan.position, plan.opposite, plan.restrained === true).remarks
      : [],
    testPa,
    overpressurePa: plan.overpressurePa,
    ...(plan.collected ? { collected: plan.collected } : {}),
    ...(plan.strokes ? { strokes: plan.strokes } : {}),
    ratedPa: ratedAtPa(job, port),
    reliefWantedPa: pressurePa(
      Math.min(
        reliefOverTest * testPa,
        plan.overpressurePa,
        job.testPressureMaxPa ?? Number.POSITIVE_INFINITY,
        ...bench.parts.map(({ ratedPa }) => ratedPa),
      ),
    ),
    bench,
    trapped,
    oilM3: oil.oilM3,
    oilUM3: oil.oilUM3,
    oilQuickM3: oil.oilM3 - (heatFallPa * trapped.volumeM3) / trapped.bulkModulusPa,
    fillM3: trapped.volumeM3,
    fillS: pumpFlowM3PerS === undefined ? null : trapped.volumeM3 / pumpFlowM3PerS,
    boosterStrokes:
      boosterStrokeM3 === undefined
        ? null
        : boosterStrokes(expectedStiffness(hold, boostedFrom, testPa).oilM3, boosterStrokeM3),
    pumpS: pumpFlowM3PerS === undefined ? null : oil.oilM3 / pumpFlowM3PerS,
    storedOilJ: stored.oilJ,
    storedAirJ: stored.airJ,
    rodForceN: onCylinder ? pistonForceN(job.cylinder, port, testPa) : 0,
    rodRestrained: onCylinder && bearer === 'restraint',
    thrustOn: onCylinder ? (bearer ?? null) : null,
    oppositePa: closed ? (intensifiedPressure(job.cylinder, port, testPa) ?? null) : null,
    ...ringsPa(job, procedure, port, testPa),
    heatOfCompressionK: heatOfCompressionK(job.fluid, workshop, pressureDifferencePa(testPa)),
    heatFallPa,
    stages: plan.stages.map((stage) => stageFigures(stage, plan, gauge, assumed)),
  };
}

/** While the stages move out at A, the oil of a retract ring may have no way to port B. */
function ringsPa(job: Job, { subject }: Procedure, port: PortName, testPa: Pressure): Pick<PortFigures, 'ringsPa'> {
  if (subject === 'plugged lines' || port === 'B' || job.cylinder.kind !== 'telescopic') return {};
  const seenPa = intensifiedPressure(job.cylinder, port, testPa);
  return seenPa === undefined ? {} : { ringsPa: seenPa };
}

function stageFigures(stage: StagePlan, plan: PortPlan, gauge: GaugeFigures, assumed: Assumed): StageFigures {
  const { trapped } = plan;
  const { targetPa, dwellS } = stage;
  const conditions: DwellConditions = {
    dwellS,
    readingsPerS: assumed.readingsPerS,
    noisePa: assumed.noisePa,
    resolutionPa: gauge.resolutionPa,
    stabilityPa: gauge.stabilityPa,
    temperatureBoundK: assumed.unmeasuredTemperatureK,
    thermalPaPerK: trapped.thermalPaPerK,
  };
  const governing = governingLimit(stage.allowed, targetPa, dwellS, trapped);
  const smallestDropPa = resolvableDropPa(conditions);
  const leakOf = (dropPa: number, overS: number): number => leakForDecayM3PerS(trapped, dropPa / overS);
  return {
    name: stage.name,
    targetPa,
    lowPa: pressurePa(targetPa - stage.belowPa),
    highPa: pressurePa(targetPa + stage.abovePa),
    voidAbovePa: stage.voidAbovePa ?? null,
    neverBelowPa: stage.neverBelowPa ?? null,
    rampS: targetPa / stage.rampMaxPaPerS,
    stabiliseForS: stage.stabilise.forS,
    giveUpAfterS: stage.stabilise.giveUpAfterS,
    dwellS,
    gaugeRatio: gauge.rangeHighPa / targetPa,
    decision: stage.decision,
    judge: stage.judge ?? 'leak',
    governing: governing?.limit ?? null,
    allowedDropPa: governing?.dropPa ?? null,
    allowedLeakM3PerS: governing?.leakM3PerS ?? null,
    smallestDropPa,
    smallestDropKnownTemperaturePa: resolvableDropPa({ ...conditions, temperatureBoundK: 0 }),
    smallestLeakM3PerS: leakOf(smallestDropPa, dwellS),
    dwellNeededS:
      governing &&
      dwellNeededS(conditions, (overS) => governingLimit(stage.allowed, targetPa, overS, trapped)?.dropPa ?? 0),
    temperatureForLimitK: governing && temperatureDifferenceK(governing.dropPa / trapped.thermalPaPerK),
    resolvable: tabledDwellsS.map((overS) => {
      const dropPa = resolvableDropPa({ ...conditions, dwellS: overS });
      return { dwellS: overS, dropPa, leakM3PerS: leakOf(dropPa, overS) };
    }),
  };
}
