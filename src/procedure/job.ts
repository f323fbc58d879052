import type { Cylinder, Fluid, OppositePort, PistonPosition, PortName } from '../hydraulics/index.js';
import type { Pressure, TemperatureDifference, UnitSystemName } from '../units/index.js';
import type { GaugeSpec } from './gauge-spec.js';
import type { JobFacts } from './job-facts.js';

/** A job as read from its file: whose cylinder, which procedure, which gauge, and how each port is held. SI inside. */
export interface Job {
  readonly workOrder: string;
  readonly customer: string;
  /** Where the customer is reached, printed beside the name. */
  readonly customerAddress?: string;
  /** A template's id, or a path. */
  readonly procedure: string;
  readonly gauge: JobGauge;
  /** Serial of the probe or gauge that gives the oil temperature; absent: the gauge itself, or nobody. */
  readonly oilProbe?: string;
  readonly cylinder: Cylinder & { readonly serial: string; readonly maker: string; readonly model: string };
  /** The most that its maker, or whoever answers for it, allows in a test; absent: not stated. */
  readonly testPressureMaxPa?: Pressure;
  /** Who says that the end stops of a plunger or of stages bear the thrust of the test; absent: nobody. */
  readonly endStops?: string;
  /** Who says that the oil of a telescopic cylinder's retract rings can leave at every stage; absent: nobody. */
  readonly retractPassages?: string;
  readonly fluid: Fluid;
  /** Free air in the oil at atmospheric pressure, fraction of the volume; absent: taken as none, and said so. */
  readonly airFraction?: number;
  /** Figures that stand in for what cylinder and fluid give. */
  readonly trapped: { readonly volumeM3?: number; readonly bulkModulusPa?: number };
  readonly bench: JobBench;
  /** In the order in which they are held. */
  readonly ports: readonly JobPort[];
  /** State of the cylinder on receipt, in the words of whoever took it in. */
  readonly condition: string;
  /** ISO date, or null when not stated. */
  readonly received: string | null;
  /** Further facts of item and work; empty: none is stated. */
  readonly facts: JobFacts;
  /** Units the customer reads; null: the shop's own. */
  readonly units: UnitSystemName | null;
  /** Bound of an oil temperature change nobody measures, half-width over a dwell; absent: the procedure's. */
  readonly unmeasuredTemperatureK?: TemperatureDifference;
}

/** A gauge the shop knows, by its serial, or one stated in the job itself. */
export type JobGauge =
  | { readonly kind: 'known'; readonly serial: string }
  | { readonly kind: 'stated'; readonly spec: GaugeSpec };

/** What the job says of the bench it runs on. */
export interface JobBench {
  readonly pumpFlowM3PerS?: number;
  /** Oil that one booster stroke delivers. */
  readonly boosterStrokeM3?: number;
  readonly reliefPa?: Pressure;
  /** The most that the pump makes. */
  readonly pumpPressurePa?: Pressure;
  /** Oil pressure over air pressure of the booster, and the air that drives it. */
  readonly boosterRatio?: number;
  readonly boosterAirPa?: Pressure;
  readonly hosePa?: Pressure;
  readonly plugsPa?: Pressure;
  /** What holds a restrained rod bears so much, N. */
  readonly rodEndN?: number;
  /** Least rated pressure among hoses, fittings, plugs and valves that see the test pressure. */
  readonly weakestPartPa?: Pressure;
}

export interface JobPort {
  readonly port: PortName;
  readonly position: PistonPosition;
  readonly opposite: OppositePort;
  /** The rod is held from outside, wherever the piston stands. */
  readonly restrained?: true;
  /** Rated pressure of this chamber; absent: the cylinder's. */
  readonly ratedPa?: Pressure;
  /** Setting of the relief valve while this port is tested; absent: the bench's. */
  readonly reliefPa?: Pressure;
  /** Serial of the gauge that stays at this port; absent: the job's. */
  readonly gauge?: string;
  /** Serial of the gauge at the opposite port. */
  readonly oppositeGauge?: string;
  /** Oil in hose, valve block and gauge line shut in with the chamber; absent: not stated. */
  readonly lineVolumeM3?: number;
  /** Stiffness of the line as a container, Pa; absent: not stated, and a part of the uncertainty. */
  readonly lineStiffnessPa?: number;
  /** All the oil shut in, when someone measured it for this port. */
  readonly trappedVolumeM3?: number;
}
