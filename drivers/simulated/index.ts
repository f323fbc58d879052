export { type BenchChanges, type CylinderOnBench, cylinderOnBench } from './cylinder-on-bench.js';
export { driver } from './driver.js';
export { type LeakLaw, laminarLeak, orificeLeak } from './hydraulics/leak-law.js';
export type { SimulatedProbe, SimulatedTransducer } from './instrument/transducer.js';
export type { SealFriction } from './motion/friction.js';
export type { SimulatedPiston } from './motion/piston.js';
export type { StrokeScript, TrueStroke } from './motion/stroking.js';
export type { OperatorCommand, OperatorPhase, OperatorScript, OperatorStage } from './operator.js';
export {
  type DemoHold,
  type DemoScenario,
  type DemoTruth,
  demoShop,
  jobText,
  procedureId,
  procedureText,
  scenarioNamed,
  scenarios,
  type TrueVerdict,
} from './scenarios/index.js';
export type { LineFault } from './serial/line-faults.js';
export { type LineShape, lineOf, plainShape } from './serial/line-shape.js';
export { ModbusDevice, modbusMap } from './serial/modbus-device.js';
export { openPtyPair, type PtyPair } from './serial/pty-pair.js';
export { type SentLine, type SerialVoiceOptions, speak } from './serial/serial-voice.js';
export type { SimulatedBench, SimulatedHeat, SimulatedOil, SimulatedSupply } from './simulated-bench.js';
export {
  createSimulatedGauge,
  type SimulatedGauge,
  type SimulatedGaugeOptions,
  type SimulatedInstrument,
} from './simulated-gauge.js';
export type { TrueChange, Truth, TruthSample } from './truth.js';
