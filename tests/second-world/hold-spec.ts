/** One simulated hold, whole: plain data in SI, pressures in pascals on the gauge. Times count from the log's first row. */
export interface HoldSpec {
  readonly seed: number;
  readonly cylinder: Cylinder;
  readonly test: {
    readonly targetPa: number;
    readonly dwellS: number;
    readonly allowedShare: number;
    /** The procedure's settling rate where somebody edited it. */
    readonly settleBarPerMin?: number;
  };
  readonly oil: Oil;
  /** Free air at atmosphere as a fraction of the trapped volume. */
  readonly airFraction: number;
  readonly room: { readonly startK: number; readonly driftKPerS: number };
  readonly heat: Heat;
  readonly creep: Creep | null;
  readonly leaks: readonly Leak[];
  readonly operator: OperatorPlan;
  readonly gauge: Gauge;
  readonly probe: Probe | null;
}

export interface Cylinder {
  readonly boreM: number;
  readonly rodM: number;
  readonly strokeM: number;
  readonly wallM: number;
  readonly port: 'A' | 'B';
  readonly lineM3: number;
  /** Modulus of what the line's own widening takes, Pa. */
  readonly lineModulusPa: number;
  readonly ratedPa: number;
  /** Whether the job tells the barrel's outside diameter. */
  readonly wallStated: boolean;
}

export interface Oil {
  /** Isothermal tangent modulus at no pressure, and its rise, Pa per Pa. */
  readonly modulusPa: number;
  readonly modulusRise: number;
  readonly expansionPerK: number;
  readonly densityKgPerM3: number;
  readonly heatJPerKgK: number;
  readonly conductivityWPerMK: number;
  readonly viscosityM2PerS: number;
  readonly startK: number;
}

export interface Heat {
  readonly flavour: 'lumped' | 'radial';
  /** Multiplies what the correlation of natural convection gives. */
  readonly convection: number;
  /** Nu = a Ra^n, never below conduction. */
  readonly nusselt: { readonly a: number; readonly n: number };
  readonly outsideWPerM2K: number;
  /** Oil of the line exchanges heat by itself (true) or with that of the chamber. */
  readonly lineApart: boolean;
}

/** Seals and hose give way after the last rise: pressure lost between 15 s and 15 s + dwell, Pa. */
export type Creep =
  | { readonly law: 'power'; readonly lossPa: number; readonly exponent: number }
  | { readonly law: 'logarithm'; readonly lossPa: number; readonly timeS: number };

export type LeakLaw = 'orifice' | 'gap' | 'constant';

/** Loss at test pressure; the law says how it goes with pressure. */
export interface Leak {
  readonly law: LeakLaw;
  readonly course: LeakCourse;
}

export type LeakCourse =
  | { readonly kind: 'steady'; readonly paPerS: number }
  /** From a time on. */
  | { readonly kind: 'late'; readonly fromS: number; readonly paPerS: number }
  /** Rate rises from zero with a power of the time since then. */
  | {
      readonly kind: 'growing';
      readonly fromS: number;
      readonly overS: number;
      readonly totalPa: number;
      readonly power: number;
    }
  /** Stops at a time. */
  | { readonly kind: 'stopping'; readonly untilS: number; readonly paPerS: number }
  /** Stick-slip: each burst loses so much within a second or less. */
  | { readonly kind: 'bursts'; readonly atS: readonly number[]; readonly eachPa: number; readonly lastsS: number };

export interface OperatorPlan {
  readonly quietBeforeS: number;
  readonly pump: Pump;
  /** Pumped up to here. */
  readonly aimPa: number;
  /** Let back to here after an overshoot, or null. */
  readonly letBackToPa: number | null;
  /** Top-ups: at so many seconds after the end of the ramp, to a pressure. */
  readonly topUps: readonly { readonly afterS: number; readonly toPa: number; readonly paPerS: number }[];
  /** Oil fed in, counted as the pressure it is worth. */
  readonly feeds: readonly Feed[];
  /** Valve between gauge and cylinder shut at a time. */
  readonly valveShutAtS: number | null;
  /** Bled down so long after the end of the ramp. */
  readonly heldS: number;
  readonly bleedTauS: number;
}

export type Pump =
  | { readonly kind: 'steady'; readonly paPerS: number }
  | { readonly kind: 'hand'; readonly paPerS: number; readonly strokeS: number; readonly uneven: number }
  | {
      readonly kind: 'booster';
      readonly paPerS: number;
      readonly pauseAtPa: number;
      readonly pauseS: number;
      readonly strokePa: number;
      readonly strokeS: number;
    };

export type Feed =
  | { readonly kind: 'steady'; readonly fromS: number; readonly overS: number; readonly totalPa: number }
  | { readonly kind: 'strokes'; readonly atS: readonly number[]; readonly eachPa: number; readonly lastsS: number };

export interface Gauge {
  readonly rangePa: number;
  readonly resolutionPa: number;
  readonly lineHz: number;
  /** New values a second; the line repeats them in between. */
  readonly updateHz: number;
  /** Standard deviation of the time stamps, as a share of the interval. */
  readonly jitter: number;
  readonly noise: Noise;
  readonly filter: { readonly kind: 'mean' | 'first order'; readonly s: number } | null;
  readonly zeroOffsetPa: number;
  readonly zeroCreepPaPerS: number;
}

export type Noise =
  | { readonly kind: 'none' }
  | { readonly kind: 'white'; readonly sdPa: number }
  | { readonly kind: 'ar1'; readonly sdPa: number; readonly coefficient: number }
  | { readonly kind: 'pink'; readonly sdPa: number }
  | { readonly kind: 'walk'; readonly sdPa: number; readonly walkPaPerRootS: number }
  | { readonly kind: 'compressor'; readonly sdPa: number; readonly amplitudePa: number; readonly periodS: number };

export interface Probe {
  /** Sees the oil, well or badly; or the barrel it is strapped to, or the room. */
  readonly kind: 'good' | 'lag' | 'steps' | 'offset' | 'barrel' | 'room';
  readonly lagS: number;
  readonly resolutionK: number;
  readonly offsetK: number;
  readonly noiseK: number;
}
