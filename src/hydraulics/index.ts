export { holdCoverage } from './coverage/hold-coverage.js';
export { testablePorts } from './coverage/testable-ports.js';
export { type ThrustBearer, thrustBearer, thrustParts } from './coverage/thrust.js';
export type { Cylinder, CylinderKind, OppositePort, PistonPosition, PortName } from './cylinder.js';
export type { Fluid } from './fluid.js';
export { expansionAtPerK, secantModulusPa, tangentModulusPa } from './fluids/bulk-modulus.js';
export { findFluid, fluidNames } from './fluids/find-fluid.js';
export { userFluid } from './fluids/user-fluid.js';
export { areaRatio, pistonAreaM2 } from './geometry/areas.js';
export {
  boreGrowthM,
  hoopStressPa,
  thinPipeStiffnessPa,
  wallStiffnessPa,
} from './geometry/barrel-wall.js';
export { chamberVolumeM3 } from './geometry/chamber-volume.js';
export { circleM2 } from './geometry/circle.js';
export { cylinderFaults } from './geometry/cylinder-faults.js';
export { pistonForceN, pullForceN, pushForceN } from './geometry/force.js';
export { intensificationRatio, intensifiedPressure } from './geometry/intensification.js';
export { stagePushRangeM2, telescopicStages } from './geometry/stages.js';
export { fallAsHeatLeavesPa, heatOfCompressionK } from './heat/heat-of-compression.js';
export { type HeatOfHold, heatOfHold } from './heat/heat-of-hold.js';
export { settleWaitS } from './heat/settle-wait.js';
export { columnGrowthM, thermalPressurePaPerK } from './heat/thermal-pressure.js';
export { clearanceConductance, clearanceFlowM3PerS } from './leak/clearance.js';
export {
  decayForLeakPaPerS,
  laminarDecay,
  leakForDecayM3PerS,
  orificeDecay,
} from './leak/decay.js';
export { driftM } from './leak/drift.js';
export { dropsToM3, m3ToDrops, usualDropsPerMl } from './leak/drops.js';
export { fallIntoDeadVolumePa } from './leak/hidden-bypass.js';
export { orificeFlowM3PerS } from './leak/orifice.js';
export { boosterStrokes, riseForOilPa } from './stiffness/booster-strokes.js';
export {
  aeratedStiffnessPa,
  airGivePerPa,
  airShareLeft,
  atmospherePa,
  gasStiffnessPa,
  oilForAirM3,
} from './stiffness/entrained-air.js';
export { expectedStiffness, oilReleasedM3 } from './stiffness/expected-stiffness.js';
export { hoseStiffnessPa, lineVolumeM3 } from './stiffness/hose.js';
export { seriesStiffnessPa } from './stiffness/series-rule.js';
export type { ShutIn } from './stiffness/shut-in.js';
export { storedEnergy } from './stiffness/stored-energy.js';
export { type TrappedOil, trappedOil } from './trapped-oil.js';
